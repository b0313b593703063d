"""Readings against the limits of the procedure, however they were corrected."""

from collections.abc import Collection, Iterator, Mapping
from typing import Any, Final

from twoturns.ledger.bag.anew import Anew
from twoturns.ledger.bag.telling import Measure
from twoturns.ledger.bag.words import Words
from twoturns.ledger.entry import Entry
from twoturns.procedure.decimals import within


def measure(
    reading: Entry, corrected_to: list[str], words: Words, anew: Anew | None = None
) -> Measure:
    """
    Judge a reading by the bundle's limits, not by those its device says it used.

    Args:
        reading: A `reading.taken`.
        corrected_to: What it may be by its corrections; nothing if there are none.
        words: The words of the bundle.
        anew: What it came to when it was computed anew.
    """
    body = reading.body
    asked = words.proof(body["step"], body["name"])
    options = {one["id"]: one for one in asked.get("options", ())}
    low, high = asked.get("low"), asked.get("high")
    if asked.get("kind") == "count":
        low = high = asked.get("target")
    values = corrected_to or [body["value"]]
    holds, verdict = _judged(values, options, low, high)
    return Measure(
        label=words.label(body["step"], body["name"]),
        value=" or ".join(options.get(value, {}).get("says", value) for value in values),
        unit=body["unit"],
        holds=holds,
        verdict=verdict,
        remark="".join(
            f", {one}" for one in _remarks(body, corrected_to, asked, (low, high), anew)
        ),
    )


def _judged(
    values: list[str], options: Mapping[str, Any], low: str | None, high: str | None
) -> tuple[bool | None, str]:
    if options:
        holds = all(value in options and options[value]["ok"] for value in values)
        return holds, "as asked" if holds else "not as asked"
    if low is None and high is None:
        return None, ""
    holds = all(within(value, low, high) for value in values)
    if low == high:
        return holds, "as asked" if holds else f"{low} asked for"
    return holds, f"{'inside' if holds else 'outside'} {limits(low, high)}"


_BY: Final = {
    "pluck": "heard by the phone's microphone",
    "marks": "from marks tapped on a photo",
    "turn": "by the phone's gyro",
    "scan": "read by the phone's camera",
}


def _remarks(
    body: Mapping[str, Any],
    corrected_to: list[str],
    asked: Mapping[str, Any],
    asked_limits: tuple[str | None, str | None],
    anew: Anew | None,
) -> Iterator[str]:
    if "by" in body:
        yield _BY[body["by"]]
    if anew is not None:
        yield anew.says
    if "adaptor" in body:
        through = body["adaptor"]
        yield f"through an adaptor of {through['adaptor_mm']} mm at {through['angle_deg']}\u00b0"
    if "tool" in body:
        yield f"with {body['tool']}"
    if corrected_to:
        yield f"first written down as {body['value']}"
    held = (body.get("low"), body.get("high"))
    if held not in ((None, None), asked_limits):
        yield f"its device held it against {limits(*held)}"
    if not asked:
        yield "the procedure asks for no such reading"


def limits(low: str | None, high: str | None) -> str:
    """
    Say a pair of limits.

    >>> limits("24.96", "27.04")
    '24.96 to 27.04'
    """
    if low is not None and high is not None:
        return low if low == high else f"{low} to {high}"
    if low is not None:
        return f"at least {low}"
    return "no limit" if high is None else f"at most {high}"


class Corrections:
    """What each reading was corrected to; a correction of a correction is one of the reading."""

    def __init__(self, entries: Collection[Entry]) -> None:
        self._of = {one.id: one.body["of"] for one in entries if one.kind == "reading.corrected"}
        replaced = set(self._of.values())
        self._newest: dict[str, list[str]] = {}
        for one in entries:
            if one.id in self._of and one.id not in replaced:
                self._newest.setdefault(self.reading(one.id), []).append(one.body["value"])

    def reading(self, entry_id: str) -> str:
        """Return the reading that a correction is of, or what is given."""
        # An id is a hash, so `of` cannot lead round in a circle: it would name what names it.
        while entry_id in self._of:
            entry_id = self._of[entry_id]
        return entry_id

    def values(self, reading: str) -> list[str]:
        """Return what a reading may be by its corrections: two people may correct it apart."""
        return self._newest.get(reading, [])
