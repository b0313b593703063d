"""
The shape of a compiled bundle, stated once (formats.md, section 6, is its text).

Of it are made: what judges bytes of unknown origin (`compile/form.py`), the phone's types and the
fields that it knows (`compile/typescript.py`), and the types that this room works with. What a
bundle may omit is what its source may omit. A mark in `Annotated` says what text must be like.

No `from __future__ import annotations` here: which members may be absent is read from the classes.
"""

from dataclasses import dataclass
from typing import Annotated, Final, Literal, NotRequired, TypedDict

from twoturns.ledger import forms

FORM: Final = 1  # `v` of a bundle


@dataclass(frozen=True)
class Matches:
    """The text is of this form, a regular expression, from end to end."""

    pattern: str


@dataclass(frozen=True)
class AtMost:
    """The text has so many characters at most."""

    characters: int


@dataclass(frozen=True)
class Two:
    """The list has two whole numbers."""


@dataclass(frozen=True)
class Unjudged:
    """The form does not look inside: the drawing decides nothing, and indices are judged apart."""


Name = Annotated[str, Matches(forms.NAME)]
Decimal = Annotated[str, Matches(forms.DECIMAL)]
Sha256 = Annotated[str, Matches(forms.SHA256)]
Day = Annotated[str, Matches(forms.DATE)]
Words = Annotated[str, AtMost(2000)]
Title = Annotated[str, AtMost(64)]
FileName = Annotated[str, AtMost(80)]

ProofKind = Literal["confirm", "reading", "photo", "count", "wait", "scan", "choice", "signature"]
Way = Literal["pluck", "marks", "turn", "hand"]  # an instrument of the phone, or the eye
Counted = Literal["kit", "single_use", "tools"]
PictureType = Literal["image/jpeg", "image/png", "image/webp"]

Pair = Annotated[list[int], Two()]  # [condition, value or mask]
Point = Annotated[list[int], Two()]  # [x_um, y_um]


# What people read


class Value(TypedDict):
    """A value of a condition, and what it says of the engine."""

    id: Name
    says: Words


class Condition(TypedDict):
    """Something about the engine, or a proof about it; `start`: its value when a job begins."""

    id: Name
    kind: Literal["engine", "proof"]
    label: Words
    values: list[Value]
    start: Name


class Phase(TypedDict):
    """A part of the work: the steps of one stand together."""

    id: Name
    name: Words


class Caution(TypedDict):
    """What can hurt, under a sign of the vocabulary."""

    sign: Name
    says: Words


class Torque(TypedDict):
    """How a fastener is brought up: to torque, and on through an angle."""

    nm: Decimal
    angle_deg: NotRequired[Decimal]
    sequence: list[Words]


class Option(TypedDict):
    """
    One answer of a choice; `ok`: whether it proves the step; `finding`: it is to be followed up;
    `permit`: who gives it holds that permit.
    """

    id: Name
    says: Words
    ok: bool
    finding: NotRequired[bool]
    permit: NotRequired[Name]


class Proof(TypedDict):
    """
    What a step is proved by. `tool`: type of the registered tool it is read with. `by`: ways to
    take a reading, best first; absent: by hand. `of`: what is counted, ticked by name. `wheel`: the
    toothed wheel whose mark is measured on a photo. `like`: `step.proof` of a step before, whose
    figure is shown beside this one once that is read.
    """

    name: Name
    kind: ProofKind
    label: Words
    unit: NotRequired[str]
    low: NotRequired[Decimal]
    high: NotRequired[Decimal]
    target: NotRequired[Decimal]
    tool: NotRequired[str]
    options: NotRequired[list[Option]]
    part: NotRequired[str]
    hint: NotRequired[str]
    by: NotRequired[list[Way]]
    of: NotRequired[Counted]
    wheel: NotRequired[str]
    like: NotRequired[str]


class Failure(TypedDict):
    """
    How a step can fail: what is seen, and what to do then; `finding`: it is to be followed up.
    """

    id: Name
    says: Words
    then: Words
    finding: NotRequired[bool]


class Use(TypedDict):
    """A single-use part that a step fits, and how many of it."""

    part: Name
    count: int


class Crop(TypedDict):
    """What is shown of a picture, in hundredths of its width and height."""

    left_percent: int
    top_percent: int
    width_percent: int
    height_percent: int


class Arrow(TypedDict):
    """An arrow on a picture: its tip in hundredths of the whole, and where it points (90: up)."""

    x_percent: int
    y_percent: int
    angle_deg: int


class Picture(TypedDict):
    """A picture at a step. `asset`: its name among the assets. `says`: a line to remember it by."""

    asset: FileName
    crop: NotRequired[Crop]
    arrow: NotRequired[Arrow]
    says: NotRequired[Title]


class Step(TypedDict):
    """
    One step of the work. `act`: text of the main key. `look`: wheels or tools to look at. `drawn`:
    what the app draws in place of the drive, a word of the vocabulary. `once`:
    it cannot be done again. `instead`: the rules with a maker's word that it comes under.
    `permit`: who does it holds that permit.
    """

    id: Name
    number: Words
    phase: Name
    title: Words
    act: Words
    says: list[Words]
    because: NotRequired[str]
    caution: NotRequired[Caution]
    picture: NotRequired[Picture]
    look: list[Name]
    drawn: NotRequired[Name]
    torque: NotRequired[Torque]
    undo: bool
    must: bool
    permit: NotRequired[Name]
    together: NotRequired[str]
    once: bool
    instead: NotRequired[list[Name]]
    uses: NotRequired[list[Use]]
    proof: list[Proof]
    fails: list[Failure]
    tools_out: list[Name]
    tools_in: list[Name]


class Cited(TypedDict):
    """A maker's document, and where in it."""

    document: Words
    edition: Title
    page: Title
    date: Day


class Instead(TypedDict):
    """
    A word that holds in place of a house rule: what it asks for, why, and where it stands. `whose`:
    the workshop's, for whichever of its procedures needs it; absent: the maker's.
    `never` and `because` are the house rule's own; those of the rule that holds stand beside this.
    Those and `says` are an author's words. `holds` is what the machine asks for, and `gone` what of
    the house rule it no longer asks for: sentences that the compiler makes of the rules themselves.
    """

    never: Words
    because: Words
    holds: list[str]
    gone: list[str]
    says: Words
    why: Words
    source: Cited
    whose: NotRequired[Literal["workshop"]]


class Rule(TypedDict):
    """
    A house rule: `stop` never passes, `ask` passes with a reason and a photo. `instead`: this one
    holds in the house rule's place; never shown without it.
    """

    id: Name
    kind: Literal["stop", "ask"]
    never: Words
    because: Words
    instead: NotRequired[Instead]


class End(TypedDict):
    """A way to close a job; `because`: it wants a reason."""

    id: Name
    name: Words
    because: bool


class Tool(TypedDict):
    """A place on the tool board, with the drawing of what hangs there."""

    slot: Name
    label: Words
    outline: Name
    tag: NotRequired[str]
    low: NotRequired[Decimal]
    high: NotRequired[Decimal]
    unit: NotRequired[str]


class Kit(TypedDict):
    """A part of the kit."""

    part: Name
    label: Words
    count: int
    single_use: bool


class Interval(TypedDict):
    """When the belt is due again: whichever comes first."""

    months: int
    km: int


class BlockTaken(TypedDict):
    """A block that the procedure was made with: nothing of it is needed to read this one."""

    id: Name
    edition: int
    sha256: Sha256


class Asset(TypedDict):
    """A picture that comes with the bundle."""

    name: FileName
    blob: Sha256
    type: PictureType


# The drive: x right, y up, seen from the belt end, from the middle of the crankshaft


class DriveBelt(TypedDict):
    """The belt; a ribbed one has no teeth."""

    teeth: NotRequired[int]
    pitch_um: NotRequired[int]
    width_um: int
    back_um: int
    length_um: int
    condition: NotRequired[Name]


class Hole(TypedDict):
    """Where a pin locks a wheel."""

    x_um: int
    y_um: int
    pin: Name
    condition: Name


class Eccentric(TypedDict):
    """Round what a tensioner turns, and where its pointer and notch are."""

    x_um: int
    y_um: int
    pointer_mdeg: int
    notch_mdeg: int


class DriveWheel(TypedDict):
    """A wheel; `r_um` is the belt's pitch line round it. `inside`: the belt's toothed side is."""

    id: Name
    label: str
    x_um: int
    y_um: int
    r_um: int
    teeth: NotRequired[int]
    inside: bool
    condition: NotRequired[Name]
    mark_mdeg: NotRequired[int]
    hole: NotRequired[Hole]
    eccentric: NotRequired[Eccentric]


Arc = TypedDict("Arc", {"wheel": Name, "in": Point, "out": Point, "large": bool})
Count = TypedDict("Count", {"from": Name, "to": Name, "teeth": int})
Span = TypedDict(
    "Span",
    {
        "from": Name,
        "to": Name,
        "length_um": int,
        "low_hz": Decimal,
        "high_hz": Decimal,
        "target_hz": Decimal,
    },
)


class Drive(TypedDict):
    """The belt drive; wheels in the order the belt runs, the driving one first."""

    running: Literal["clockwise", "anticlockwise"]
    belt: DriveBelt
    wheels: list[DriveWheel]
    path: list[Arc]
    order: list[Name]
    counts: list[Count]
    span: Span


# The machine: conditions, values and steps are indices, a mask is a bit set of value indices


class MachineCondition(TypedDict):
    """One variable of the engine, or of proof: then its value 0 is *unproved*."""

    id: Name
    proof: bool
    values: list[Name]
    start: int


class MachineFailure(TypedDict):
    """How a step can fail: what it leaves, and what must be looked at."""

    id: Name
    effect: list[Pair]
    look: list[int]


class MachineRule(TypedDict):
    """Broken unless the state before the step is inside every mask."""

    rule: int
    guard: list[Pair]


class MachineProof(TypedDict):
    """What an entry must hold to be a proof of a step."""

    name: Name
    kind: ProofKind
    low: NotRequired[Decimal]
    high: NotRequired[Decimal]
    ok: NotRequired[list[Name]]


class MachineStep(TypedDict):
    """A step as the machine runs it: what each list means stands in formats.md."""

    id: Name
    undo: bool
    must: bool
    together: str | None
    guard: list[Pair]
    moves: list[Pair]
    effect: list[Pair]
    on_the_way: list[Pair]
    fails: list[MachineFailure]
    reopen: list[Pair]
    rules: list[MachineRule]
    proof: list[MachineProof]
    tools_out: list[Name]
    tools_in: list[Name]


class MachineEnd(TypedDict):
    """A way to close a job: all must-steps, or what it asks of conditions."""

    id: Name
    all_must: bool
    conditions: list[Pair]


Rest = tuple[int, list[int]]  # a proof's condition, and those that it rests on
Maker = tuple[int, int, list[int]]  # a condition, a value, and the must-steps that leave it there


class MachineForm(TypedDict):
    """MACHINE: the only thing that both languages run."""

    conditions: list[MachineCondition]
    steps: list[MachineStep]
    rests: list[Annotated[Rest, Unjudged()]]
    makers: list[Annotated[Maker, Unjudged()]]
    ends: list[MachineEnd]


class Bundle(TypedDict):
    """What a procedure is to those who work by it."""

    v: Literal[1]
    id: Name
    name: Title
    edition: int
    vehicle: Title
    engine_codes: list[Title]
    cautions: list[Words]
    interval: Interval
    interrupt_minutes: int
    conditions: list[Condition]
    phases: list[Phase]
    steps: list[Step]
    rules: list[Rule]
    ends: list[End]
    tools: list[Tool]
    kit: list[Kit]
    drive: Annotated[Drive, Unjudged()]
    assets: list[Asset]
    blocks: NotRequired[list[BlockTaken]]
    machine: MachineForm


class Outline(TypedDict):
    """What is the same in bundles of whatever form: passing one on needs no more."""

    id: Name
    assets: list[Asset]
