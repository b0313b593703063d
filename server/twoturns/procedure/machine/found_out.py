"""
What a wrench that was found out tightened in a job, and whether that was within its limits then.

As `recalled_parts`, never in the fold: whether the work was done as it should be does not change by
what is found out about a tool later. A reading that a later good one of its step and name follows
on is not counted: the fastener was tightened again, and that one counts. The phone's twin is
`client/src/work/found-out.ts`.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from twoturns.procedure.machine.decimals import is_decimal
from twoturns.procedure.machine.log import History, LogEntry
from twoturns.trade.as_found import Check, Point, Verdict, delivered, found_out, judged, really
from twoturns.trade.spelling import tool_key
from twoturns.trade.torque import wrench_setting_nm


@dataclass(frozen=True, slots=True)
class Tightened:
    """
    A reading with a tool that a check doubts. `setting` is what was set on the tool, `actual` what
    the fastener got (None: nobody knows), `beyond` how far out of its limits, in parts of `value`.
    `is_settled`: the owner wrote since then that it was tightened again, or is taken over as it is.
    """

    entry: str
    step: str
    name: str
    tool: str
    check: str
    value: str
    unit: str
    low: str | None
    high: str | None
    setting: float
    actual: float | None
    verdict: Verdict
    beyond: float
    is_settled: bool

    @property
    def asks(self) -> bool:
        """Whether somebody has to do something about it."""
        return self.verdict != "inside" and not self.is_settled


SETTLES: Final = ("retightened", "accepted")  # what a `recall.followed` says of it then
_ORDER: Final = {"outside": 0, "unknown": 1, "inside": 2}


def check_of(entry: str, body: Mapping[str, Any]) -> Check:
    """Return what a `tool.checked`, or a `tool.calibrated`, says as the rules take it."""
    points = tuple(
        Point(float(one["nominal"]), float(one["found"]), one.get("direction"))
        for one in body.get("points", ())
    )
    unit, percent = body.get("unit", ""), float(body.get("allowed_percent", "0"))
    allowed = float(body["allowed"]) if "allowed" in body else None
    return Check(entry, body["on"], unit, points, percent, allowed)


def tightened(
    entries: Sequence[LogEntry],
    days: Mapping[str, str],
    checks: Mapping[str, Sequence[Check]],
) -> list[Tightened]:
    """
    Return what tools that were found out tightened in a job, the worst first.

    Args:
        entries: The job's log.
        days: Of each reading the day on which it was taken, YYYY-MM-DD, by the entry's id.
        checks: All checks of each tool, by its key, in the order in which they were stated.
    """
    if not any(checks.get(tool_key(_tool(one))) for one in entries):
        return []
    history = History(entries)
    now, settled = _corrected(history), _settled(history)
    found = []
    for at in _last_readings(history):
        entry = history.entries[at]
        check = found_out(checks.get(tool_key(_tool(entry)), ()), days[entry.id])
        one = check and _judged(entry, now.get(entry.id, entry.body["value"]), check)
        if one:
            is_settled = any(of == one.check and past >> at & 1 for of, past in settled)
            found.append(replace(one, is_settled=is_settled))
    return sorted(found, key=lambda one: (_ORDER[one.verdict], -one.beyond))


def _tool(entry: LogEntry) -> str:
    return str(entry.body.get("tool", "")) if entry.kind == "reading.taken" else ""


def _corrected(history: History) -> dict[str, str]:
    """Return what readings were corrected to, by good words, the last one of each."""
    return {
        one.body["of"]: one.body["value"]
        for one in history.entries
        if one.kind == "reading.corrected" and one.good
    }


def _last_readings(history: History) -> list[int]:
    """Return the readings that no good one of the same step and name follows on."""
    at_place: dict[tuple[str, str], list[int]] = {}
    for at, one in enumerate(history.entries):
        if one.kind == "reading.taken":
            at_place.setdefault((one.body["step"], one.body["name"]), []).append(at)
    last = []
    for here in at_place.values():
        again = [history.past[later] for later in here if history.entries[later].good]
        last += [at for at in here if not any(past >> at & 1 for past in again)]
    return sorted(last)


def _settled(history: History) -> list[tuple[str, int]]:
    """Return the checks that the owner has settled, and what was before his word."""
    return [
        (one.body["of"], history.past[at])
        for at, one in enumerate(history.entries)
        if one.kind == "recall.followed" and one.good and one.body["how"] in SETTLES
    ]


def _judged(entry: LogEntry, value: str, check: Check) -> Tightened | None:
    """Judge a reading; None where it is no figure in the unit of the check."""
    body = entry.body
    if body["unit"] != check.unit or not is_decimal(value):
        return None
    if check.allowed is None and float(value) <= 0:
        return None
    setting, actual = _really(float(value), body, check)
    low, high = body.get("low"), body.get("high")
    limits = (None if low is None else float(low), None if high is None else float(high))
    verdict, beyond = judged(abs(float(value)) or 1.0, actual, *limits)
    said = {name: body[name] for name in ("step", "name", "tool", "unit")}
    return Tightened(
        entry=entry.id,
        **said,
        check=check.id,
        value=value,
        low=low,
        high=high,
        setting=setting,
        actual=actual,
        verdict=verdict,
        beyond=beyond,
        is_settled=False,
    )


def _really(value: float, body: Mapping[str, object], check: Check) -> tuple[float, float | None]:
    """Return what a tool was set to, or showed, and what there really was; None: nobody knows."""
    if check.allowed is not None:
        return value, really(check.points, value)
    setting = _setting(value, body)
    gave = delivered(check.points, setting)
    return setting, None if gave is None else value * (gave / setting)


def _setting(value: float, body: Mapping[str, object]) -> float:
    """What was set on the wrench: with an adaptor another value than the fastener's."""
    through = body.get("adaptor")
    if not isinstance(through, Mapping):
        return value
    try:
        return wrench_setting_nm(
            value, through["wrench_mm"], through["adaptor_mm"], through["angle_deg"]
        )
    except ValueError:
        return value  # an adaptor that cannot be: what it was said to do is not taken
