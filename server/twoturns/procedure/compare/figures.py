"""Windows, targets and torques of a step, as one reads them aloud."""

from __future__ import annotations

from collections.abc import Iterator

from twoturns.procedure.compare.change import Change, Item, Place, value
from twoturns.words import t
from twoturns.words.en.procedure.compare import figures as words


def window(proof: Item) -> str:
    """Return a proof's figures without their unit; empty where it has none."""
    low, high, target = (proof.get(bound) for bound in ("low", "high", "target"))
    if low is not None and high is not None:
        said = t(words.BETWEEN, low=low, high=high)
    elif low is not None:
        said = t(words.AT_LEAST, low=low)
    elif high is not None:
        said = t(words.AT_MOST, high=high)
    else:
        return target or ""
    return said if target is None else t(words.TARGET_AND_WINDOW, target=target, window=said)


def window_change(place: Place, before: Item, after: Item) -> Iterator[Change]:
    """Tell of other figures of one proof: "nut 26 -> 28 N·m"."""
    was, now = with_unit(before), with_unit(after)
    if was == now:
        return
    if window(before) and window(after) and before.get("unit") == after.get("unit"):
        was = window(before)
    yield from value(place, "figure", after["label"], was, now)


def with_unit(proof: Item) -> str:
    """Return a proof's figures with their unit; empty where it has none."""
    said, unit = window(proof), proof.get("unit")
    return t(words.WITH_UNIT, said=said, unit=unit) if said and unit else said


def torque(of: Item | None) -> str:
    """Return a torque, and the angle that follows it; empty where there is none."""
    if of is None:
        return ""
    if "angle_deg" in of:
        return t(words.TORQUE_AND_ANGLE, nm=of["nm"], angle=of["angle_deg"])
    return t(words.TORQUE, nm=of["nm"])
