"""
Readings that an instrument took and photos that were judged, computed anew from what they saw.

It is a check of the phone, not of the bag: a value that comes out otherwise is told in the account
as something to look at, and the bag is still what the ledger holds.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from twoturns.bag import layout
from twoturns.bag.contents import Contents
from twoturns.instruments import marks, pluck, sharpness, turn
from twoturns.instruments.refusal import Refusal
from twoturns.ledger import canonical
from twoturns.ledger.entry import Entry
from twoturns.ledger.errors import LedgerError
from twoturns.ledger.forms import DECIMAL, is_formed

#: Of one thing that an instrument saw: two minutes of a gyro, or ten seconds of sound, are less.
MOST_BYTES: Final = 4 << 20
#: The bag lacks what it is computed from: that accuses nobody.
UNSEEN: Final = ("sheet-unseen", "sounds-unseen")


@dataclass(frozen=True)
class Anew:
    """
    What a reading comes to when it is computed anew, as a code; `sentences` has them all.

    `found` is the other value of `differs`, and of `refused` the instrument's own code.
    """

    code: str
    found: str | None = None

    @property
    def differs(self) -> bool:
        """Whether it is for the owner to look at."""
        return self.code not in ("same", "other-edition", *UNSEEN)


def reading_anew(body: Mapping[str, Any], asked: Mapping[str, Any], contents: Contents) -> Anew:
    """
    Compute a reading anew that an instrument took.

    Args:
        body: Of a `reading.taken`; its `by` is one of `COMPUTED`.
        asked: What the bundle's proof of that name says; its window is what the phone had to use.
        contents: The bag's.
    """
    by = body["by"]
    names = [one["blob"] for one in body.get("saw", ())]
    if asked and by not in asked.get("by", ()):
        return Anew("way-not-asked")
    if not names or len(set(names)) < len(names):
        return Anew("seen-twice" if names else "nothing-kept")
    if any(contents.size(name) > MOST_BYTES for name in names):
        return Anew("too-large")
    saw = [contents.shown(name) for name in names]
    if saw[0] is None:
        return Anew("sheet-unseen")
    if None in saw:
        return Anew("sounds-unseen")
    try:
        return _computed(by, body, dict(zip(names, saw, strict=True)), asked)
    except (LedgerError, KeyError, TypeError, ValueError, ArithmeticError):
        return Anew("sheet-lacks")


def _computed(
    by: str, body: Mapping[str, Any], saw: dict[str, Any], asked: Mapping[str, Any]
) -> Anew:
    first, *more = saw
    try:
        sheet = canonical.loads(saw[first])
    except LedgerError:
        return Anew("sheet-unread")
    if not isinstance(sheet, dict) or sheet.get("by") != by:
        return Anew("other-instrument")
    if not is_formed(body["value"], DECIMAL):
        return Anew("no-number")
    return COMPUTED[by](body["value"], sheet, {name: saw[name] for name in more}, asked)


def can_be_measured(entry: Entry, contents: Contents) -> bool:
    """
    Say whether an entry is a photo with its phone's figures and its original in the bag.

    (A copy may be packed anew: it is not what was measured.)
    """
    return (
        entry.kind == "photo.taken"
        and "quality" in entry.body
        and contents.names.get(entry.body["blob"], "").startswith(layout.PHOTOS)
    )


def is_as_sharp(body: Mapping[str, Any], contents: Contents) -> bool | None:
    """
    Say whether a photo measured anew is as sharp and bright as its phone said.

    None if it is no picture that can be read. For what `can_be_measured` alone.
    """
    found = sharpness.quality_of_photo(contents.shown(body["blob"]) or b"")
    return None if found is None else sharpness.same(sharpness.Quality(**body["quality"]), found)


def _told(same: bool, value: str) -> Anew:
    return Anew("same") if same else Anew("differs", value)


def _refused(refusal: Refusal) -> Anew:
    # A later edition of the estimator is nobody's fault.
    is_newer = refusal.code == "other-edition"
    return Anew("other-edition") if is_newer else Anew("refused", refusal.code)


def _pluck(
    value: str, sheet: dict[str, Any], clips: dict[str, Any], asked: Mapping[str, Any]
) -> Anew:
    window = {"low": asked.get("low"), "high": asked.get("high")}
    if any(sheet.get(side) != limit for side, limit in window.items()):
        return Anew("other-window")
    found = pluck.recompute(sheet, clips)
    if isinstance(found, Refusal):
        return _refused(found)
    return _told(pluck.same(sheet, found) and pluck.same_value(value, found), f"{found.value} Hz")


def _marks(value: str, sheet: dict[str, Any], _: dict[str, Any], asked: Mapping[str, Any]) -> Anew:
    if sheet["photo"] != asked.get("photo_blob"):
        return Anew("other-photo")
    if sheet["teeth"] != asked.get("wheel_teeth"):
        return Anew("other-wheel")
    found = marks.recompute(sheet)
    if isinstance(found, Refusal):
        return _refused(found)
    return _told(marks.same(sheet, found) and value == found.value, f"{found.value} teeth")


def _turn(
    value: str, sheet: dict[str, Any], more: dict[str, Any], asked: Mapping[str, Any]
) -> Anew:
    strokes = [sheet, *(canonical.loads(capture) for capture in more.values())]
    if not all(isinstance(stroke, dict) for stroke in strokes):
        return Anew("stroke-unread")
    found = turn.recompute(strokes)
    if isinstance(found, Refusal):
        return _refused(found)
    if asked.get("unit") == "turns":
        return _told(turn.same(value, found, unit="turns"), f"{turn.in_turns(found)} turns")
    return _told(turn.same(value, found), f"{found.value}\u00b0")


COMPUTED: Final = {"pluck": _pluck, "marks": _marks, "turn": _turn}
