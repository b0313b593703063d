"""Readings against the limits of the procedure, however they were corrected."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import Any

from twoturns.bag.account import Reading
from twoturns.bag.sentences import Words, said_anew
from twoturns.bag.told import Measure
from twoturns.ledger.entry import Entry
from twoturns.procedure.machine.decimals import within
from twoturns.words import t
from twoturns.words.en.bag import readings as texts


def limits_of(asked: Mapping[str, Any]) -> tuple[str | None, str | None]:
    """Return the least and the most that a proof of the bundle lets pass."""
    if asked.get("kind") == "count":
        return asked.get("target"), asked.get("target")
    return asked.get("low"), asked.get("high")


def holds(values: Sequence[str], asked: Mapping[str, Any]) -> bool | None:
    """Judge values by the bundle, not by what their device says it used; None: it asks nothing."""
    options = {one["id"]: one["ok"] for one in asked.get("options", ())}
    low, high = limits_of(asked)
    if options:
        return all(options.get(value, False) for value in values)
    if low is None and high is None:
        return None
    return all(within(value, low, high) for value in values)


def measure(reading: Entry, judged: Reading, words: Words) -> Measure:
    """
    Put a reading into words.

    Args:
        reading: A `reading.taken`.
        judged: What the account says of it.
        words: The words of the bundle.
    """
    body = reading.body
    asked = words.proof(body["step"], body["name"])
    options = {one["id"]: one["says"] for one in asked.get("options", ())}
    return Measure(
        label=words.label(body["step"], body["name"]),
        value=t(texts.OR).join(options.get(value, value) for value in judged.values),
        unit=body["unit"],
        holds=judged.holds,
        verdict=_verdict(judged.holds, has_options=bool(options), limits_are=limits_of(asked)),
        remark="".join(f", {one}" for one in _remarks(body, judged, asked)),
    )


def _verdict(
    is_held: bool | None, *, has_options: bool, limits_are: tuple[str | None, str | None]
) -> str:
    if is_held is None:
        return ""
    if has_options:
        return t(texts.AS_ASKED) if is_held else t(texts.NOT_AS_ASKED)
    low, high = limits_are
    if low == high:
        return t(texts.AS_ASKED) if is_held else t(texts.ASKED_FOR, low=str(low))
    return t(texts.AGAINST_LIMITS, inside=is_held, limits=limits(low, high))


def _remarks(body: Mapping[str, Any], judged: Reading, asked: Mapping[str, Any]) -> Iterator[str]:
    if "by" in body:
        yield t(texts.BY[body["by"]])
    if judged.anew is not None:
        yield said_anew(judged.anew, judged.found)
    if "adaptor" in body:
        through = body["adaptor"]
        yield t(
            texts.THROUGH_ADAPTOR,
            adaptor_mm=through["adaptor_mm"],
            angle_deg=through["angle_deg"],
        )
    if "tool" in body:
        yield t(texts.WITH_TOOL, tool=body["tool"])
    if judged.values != (body["value"],):
        yield t(texts.FIRST_WRITTEN_DOWN, value=body["value"])
    held = (body.get("low"), body.get("high"))
    if held not in ((None, None), limits_of(asked)):
        yield t(texts.HELD_AGAINST, limits=limits(*held))
    if not asked:
        yield t(texts.NEVER_ASKED_FOR)


def limits(low: str | None, high: str | None) -> str:
    """
    Say a pair of limits.

    >>> limits("24.96", "27.04")
    '24.96 to 27.04'
    """
    if low is not None and high is not None:
        return low if low == high else t(texts.FROM_TO, low=low, high=high)
    if low is not None:
        return t(texts.AT_LEAST, low=low)
    return t(texts.NO_LIMIT) if high is None else t(texts.AT_MOST, high=high)


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
        way = []
        while entry_id in self._of:
            way.append(entry_id)
            entry_id = self._of[entry_id]
        self._of.update(dict.fromkeys(way, entry_id))  # the next one need not go all of it
        return entry_id

    def values(self, reading: str) -> list[str]:
        """Return what a reading may be by its corrections: two people may correct it apart."""
        return self._newest.get(reading, [])
