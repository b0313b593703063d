"""
The account of a job: what its entries come to, in no language.

`data/account.json` is it, canonical; what is null or empty is absent. A sentence is nobody's
evidence: pages are told from an account and the bag beside it, in words that may change. What an
account holds is judged by the rules of its edition; one of another edition is not compared.
"""

from dataclasses import dataclass, is_dataclass
from typing import Any, Final, Literal

from twoturns.bag.clocks import Clock
from twoturns.ledger import canonical
from twoturns.ledger.errors import LedgerError

EDITION: Final = 2

StepState = Literal["done", "waived", "todo"]


@dataclass(frozen=True)
class Placed:
    """An entry of the job: its place, its standing, and the step it speaks of, if one."""

    entry: str
    index: int
    standing: str
    step: str | None


@dataclass(frozen=True)
class Step:
    """A step of the bundle, and the entries that speak of it, in the order of the ledger."""

    step: str
    state: StepState
    entries: tuple[str, ...]


@dataclass(frozen=True)
class Oddity:
    """
    What the owner must look at: a code of the fold (formats.md, section 6), or `computed-anew`,
    `shown-before` (`other`: the entry that showed it first), `lot-differs` (`name`: the lot that
    the code names), `lot-recalled`, `recall-borne`, `recall-followed` and `procedure-withdrawn`
    (`other`: the statement that recalls or withdraws), `tool-found-out` and `tool-followed`
    (`other`: the check; `name`: what the fastener really got, if that is known), `finding-open`
    (`name`: how far it has come), `finding-refused` and `finding-offered` (of what offers it).
    `rule` is the id of a house rule, `name` of a proof or a tool slot.
    """

    entry: str
    code: str
    rule: str | None = None
    name: str | None = None
    other: str | None = None


@dataclass(frozen=True)
class Reading:
    """
    What a reading may be by its corrections, and whether all of it is as the bundle asks (absent:
    it asks for nothing). `anew` is what computing it again came to (`anew.Anew`).
    """

    entry: str
    values: tuple[str, ...]
    holds: bool | None
    anew: str | None
    found: str | None


@dataclass(frozen=True)
class Part:
    """A `part.fitted`, and the statements that recall its lot."""

    entry: str
    recalled_by: tuple[str, ...]


@dataclass(frozen=True)
class Tool:
    """A tool that measured, by whose statements."""

    tool: str
    registered: str | None
    calibrated: tuple[str, ...]
    checked: tuple[str, ...]


@dataclass(frozen=True)
class Person:
    """A person that entries name, and the newest statement of the name."""

    person: str
    named: str | None


@dataclass(frozen=True)
class Device:
    """A device of the job, in the ledger from one record to another, and its clock."""

    device: str
    role: str | None
    persons: tuple[str, ...]
    enrolled_at: int | None
    revoked_at: int | None
    clock: Clock


@dataclass(frozen=True)
class Blob:
    """A private value or a file that entries name, and what the bag does with it."""

    blob: str
    uses: tuple[str, ...]
    state: str | None
    reason: str | None


@dataclass(frozen=True)
class Closed:
    """The newest `job.closed`."""

    end: str
    changed: bool


@dataclass(frozen=True)
class Number:
    """A number of a device under which nothing is here, and after which it wrote for the job."""

    device: str
    seq: int


@dataclass(frozen=True)
class Account:
    """A job as its entries tell it. Entries are ids, `root` is hex; all else is names and codes."""

    edition: int
    job: str
    workshop: str
    workshop_name: str
    size: int
    root: str
    made_on: str
    bundle: str
    is_published: bool
    withdrawn_by: tuple[str, ...]
    opened: str
    closed: Closed | None
    approved: Literal["approved", "changed"] | None
    tools_out: tuple[str, ...]
    questions: tuple[str, ...]
    steps: tuple[Step, ...]
    entries: tuple[Placed, ...]
    exceptions: tuple[Oddity, ...]
    readings: tuple[Reading, ...]
    parts: tuple[Part, ...]
    tools: tuple[Tool, ...]
    persons: tuple[Person, ...]
    devices: tuple[Device, ...]
    blobs: tuple[Blob, ...]
    lacking: tuple[str, ...]
    """Ids that entries follow, and that are not here."""
    lacking_numbers: tuple[Number, ...]
    unread: tuple[str, ...]
    """Records that only a newer program can read: they are not judged."""

    def to_json(self) -> bytes:
        """Return `account.json`."""
        return canonical.dumps(_plain(self))


def edition_of(text: bytes) -> int | None:
    """Return the edition that an `account.json` states; None if it is no account."""
    try:
        said = canonical.loads(text)
    except LedgerError:
        return None
    edition = said.get("edition") if isinstance(said, dict) else None
    return edition if type(edition) is int else None


def _plain(value: Any) -> Any:  # noqa: ANN401 - of any shape that is in an account
    if is_dataclass(value):
        plain = ((name, _plain(each)) for name, each in vars(value).items())
        return {name: each for name, each in plain if each is not None and each != []}
    return [_plain(each) for each in value] if isinstance(value, tuple) else value
