"""
Readings that an instrument took and photos that were judged, computed anew from what they saw.

It is a check of the phone, not of the bag: a value that comes out otherwise is told in the account
as something to look at, and the bag is still what the ledger holds.
"""

from collections.abc import Mapping
from typing import Any, Final

from twoturns.instruments import marks, pluck, sharpness, turn
from twoturns.instruments.refusal import Refusal
from twoturns.ledger import canonical
from twoturns.ledger.bag.contents import Contents
from twoturns.ledger.errors import LedgerError
from twoturns.ledger.fields import DECIMAL, is_formed

AGREES: Final = "computed anew from what it kept: the same"
#: Of one thing that an instrument saw: two minutes of a gyro, or ten seconds of sound, are less.
MOST_BYTES: Final = 4 << 20
_DIFFERS: Final = "computed anew from what it kept it is not the same"


class Anew:
    """
    What a reading comes to when it is computed anew.

    `differs` is true where it is another, `is_unseen` where the bag lacks what it is computed from.
    """

    def __init__(self, says: str, *, differs: bool = False, is_unseen: bool = False) -> None:
        self.says, self.differs, self.is_unseen = says, differs, is_unseen


def reading_anew(
    body: Mapping[str, Any], asked: Mapping[str, Any], contents: Contents
) -> Anew | None:
    """
    Compute a reading anew; None where no instrument took it.

    Args:
        body: Of a `reading.taken`.
        asked: What the bundle's proof of that name says; its window is what the phone had to use.
        contents: The bag's.
    """
    by = body.get("by")
    if by not in COMPUTED:
        return None
    names = [one["blob"] for one in body.get("saw", ())]
    if asked and by not in asked.get("by", ()):
        return Anew("the procedure does not let it be taken so", differs=True)
    if not names or len(set(names)) < len(names):
        says = "it names one thing that it saw twice" if names else "nothing was kept of it"
        return Anew(says, differs=True)
    if any(contents.size(name) > MOST_BYTES for name in names):
        return Anew("what it saw is larger than any instrument's", differs=True)
    saw = [contents.shown(name) for name in names]
    if saw[0] is None:
        return Anew("what it saw is not in this bag", is_unseen=True)
    if None in saw:
        return Anew("the sounds it was computed from are not in this bag", is_unseen=True)
    try:
        return _computed(by, body, dict(zip(names, saw, strict=True)), asked)
    except (LedgerError, KeyError, TypeError, ValueError, ArithmeticError):
        return Anew("its sheet lacks what it is computed from", differs=True)


def _computed(
    by: str, body: Mapping[str, Any], saw: dict[str, Any], asked: Mapping[str, Any]
) -> Anew:
    first, *more = saw
    try:
        sheet = canonical.loads(saw[first])
    except LedgerError:
        return Anew("its sheet cannot be read", differs=True)
    if not isinstance(sheet, dict) or sheet.get("by") != by:
        return Anew("its sheet is another instrument's", differs=True)
    if not is_formed(body["value"], DECIMAL):
        return Anew("its value is no number", differs=True)
    return COMPUTED[by](body["value"], sheet, {name: saw[name] for name in more}, asked)


def is_as_sharp(body: Mapping[str, Any], contents: Contents) -> bool | None:
    """
    Say whether a photo measured anew is as sharp and bright as its phone said.

    None where there is nothing to compare: no figures, or no original. (A copy is scaled and packed
    anew: it is not what was measured.)
    """
    told, place = body.get("quality"), contents.names.get(body["blob"], "")
    if told is None or not place.startswith("data/photos/"):
        return None
    found = sharpness.quality_of_photo(contents.read(place))
    return None if found is None else sharpness.same(sharpness.Quality(**told), found)


def _told(same: bool, value: str) -> Anew:
    return Anew(AGREES if same else f"{_DIFFERS}: {value}", differs=not same)


def _refused(refusal: Refusal) -> Anew:
    says = f"{refusal.message[:1].lower()}{refusal.message[1:].rstrip('.')}"
    # A later edition of the estimator is nobody's fault.
    return Anew(says, differs=refusal.code != "other-edition")


def _pluck(
    value: str, sheet: dict[str, Any], clips: dict[str, Any], asked: Mapping[str, Any]
) -> Anew:
    window = {"low": asked.get("low"), "high": asked.get("high")}
    if any(sheet.get(side) != limit for side, limit in window.items()):
        return Anew("it was heard against another window than the procedure's", differs=True)
    found = pluck.recompute(sheet, clips)
    if isinstance(found, Refusal):
        return _refused(found)
    return _told(pluck.same(sheet, found) and pluck.same_value(value, found), f"{found.value} Hz")


def _marks(value: str, sheet: dict[str, Any], _: dict[str, Any], asked: Mapping[str, Any]) -> Anew:
    if sheet["photo"] != asked.get("photo_blob"):
        return Anew("it was measured on another photo than the reading names", differs=True)
    if sheet["teeth"] != asked.get("wheel_teeth"):
        return Anew("it was measured on another wheel than the procedure's", differs=True)
    found = marks.recompute(sheet)
    if isinstance(found, Refusal):
        return _refused(found)
    return _told(marks.same(sheet, found) and value == found.value, f"{found.value} teeth")


def _turn(
    value: str, sheet: dict[str, Any], more: dict[str, Any], asked: Mapping[str, Any]
) -> Anew:
    strokes = [sheet, *(canonical.loads(capture) for capture in more.values())]
    if not all(isinstance(stroke, dict) for stroke in strokes):
        return Anew("one of its strokes is no sheet", differs=True)
    found = turn.recompute(strokes)
    if isinstance(found, Refusal):
        return _refused(found)
    if asked.get("unit") == "turns":
        return _told(turn.same(value, found, unit="turns"), f"{turn.in_turns(found)} turns")
    return _told(turn.same(value, found), f"{found.value}\u00b0")


COMPUTED: Final = {"pluck": _pluck, "marks": _marks, "turn": _turn}
