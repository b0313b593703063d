"""
The shape of a job as it is told: what `tell` makes of an account and `report` shows.

All text is as a person reads it, unescaped.
"""

from dataclasses import dataclass

from twoturns.bag.account import StepState


@dataclass(frozen=True)
class Line:
    """One thing that someone asserted: what, who, and the two times it has."""

    entry: str
    index: int
    what: str
    who: str
    at: str
    received: str
    standing: str


@dataclass(frozen=True)
class Measure:
    """A reading, and how it stands to what was asked. `holds` is None where nothing is asked."""

    label: str
    value: str
    unit: str
    holds: bool | None
    verdict: str
    remark: str


@dataclass(frozen=True)
class Signature:
    """A drawn signature: the path of the pen, or None where it is not shown."""

    label: str
    path: str | None
    remark: str


@dataclass(frozen=True)
class Picture:
    """A photo. `blob` is its hash, `remark` what the bag does with it."""

    label: str
    blob: str
    remark: str


@dataclass(frozen=True)
class Paper:
    """A certificate or a permit. `blob` is the hash of its file, or None where none was given."""

    label: str
    blob: str | None
    remark: str


@dataclass(frozen=True)
class StepAccount:
    """What happened at one step, in the order of the ledger."""

    number: str
    title: str
    state: StepState
    must: bool
    undo: bool
    lines: tuple[Line, ...]
    measures: tuple[Measure, ...]
    pictures: tuple[Picture, ...]
    signatures: tuple[Signature, ...]


@dataclass(frozen=True)
class PhaseAccount:
    """The steps of one phase."""

    name: str
    steps: tuple[StepAccount, ...]


@dataclass(frozen=True)
class Told:
    """A job as a person reads it."""

    job: str
    workshop_name: str
    fingerprint: str
    head: str
    head_code: str
    title: str
    facts: tuple[tuple[str, str], ...]
    state: str
    exceptions: tuple[Line, ...]
    phases: tuple[PhaseAccount, ...]
    about: tuple[Line, ...]
    """What was said about the job as a whole, and what belongs to no step of the bundle."""
    cautions: tuple[str, ...]
    """What the procedure warns of before any work."""
    parts: tuple[tuple[str, str], ...]
    tools: tuple[tuple[str, str], ...]
    people: tuple[tuple[str, str], ...]
    papers: tuple[Paper, ...]
    clocks: tuple[tuple[str, str], ...]
    hidden: tuple[tuple[str, str], ...]
    unproven: tuple[str, ...]
