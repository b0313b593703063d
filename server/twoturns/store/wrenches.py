"""
Tools that were found out, on the owner's desk: what they tightened outside of its limits.

The checks are joined to a job each time, as recalls are: a check of today finds the jobs of months
ago. Only the log of a job in which such a tool was used is read for it.
"""

import json
from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from typing import Any

from twoturns.bag.clocks import day_of
from twoturns.procedure.machine.found_out import Tightened, check_of, tightened
from twoturns.store.desk_order import Notice, notice
from twoturns.store.logs import Records, log_of
from twoturns.store.store import Store
from twoturns.trade.as_found import Check, error, off_percent, shown, worst
from twoturns.words import t
from twoturns.words.en.store import wrenches as words


class ToolChecks:
    """All checks of all tools, in the order in which they were stated."""

    def __init__(self) -> None:
        self.of_tool: dict[str, list[Check]] = {}
        self.said: dict[str, Mapping[str, Any]] = {}  # what a `tool.checked` says, by its id

    def note(self, key: str, check: Check) -> None:
        self.of_tool.setdefault(key, []).append(check)

    @cached_property
    def doubting(self) -> dict[str, list[Check]]:
        """The checks of the tools of which one found the tool out; asked once all are noted."""
        return {
            key: checks
            for key, checks in self.of_tool.items()
            if not all(one.is_good for one in checks)
        }


def checks_of(store: Store) -> ToolChecks:
    """Return all checks that were stated."""
    checks = ToolChecks()
    for row in store.views.tool_checks():
        if row["said"] is None:
            checks.note(row["key"], Check(row["id"], row["on"]))
        else:
            checks.said[row["id"]] = said = json.loads(row["said"])
            checks.note(row["key"], check_of(row["id"], said))
    return checks


def are_doubted(store: Store, job: str, checks: ToolChecks) -> bool:
    """Say whether a tool that was found out was used in a job; only its log tells when."""
    doubting = checks.doubting
    return bool(doubting) and not doubting.keys().isdisjoint(store.views.tools_of(job))


def notices(store: Store, job: str, checks: ToolChecks) -> Iterator[Notice]:
    """Yield a notice of each check by which something in a job is to be done, the worst first."""
    found = found_in(store.ledger.job_entries(job), checks.doubting)
    for check in dict.fromkeys(one.check for one in found if one.asks):
        said = checks.said[check]
        yield notice(
            "tool-found-out",
            told(said),
            tool=said["tool"],
            of=check,
            until=said.get("until"),
        )


def found_in(records: Records, checks: Mapping[str, Sequence[Check]]) -> list[Tightened]:
    """Return what tools that were found out tightened in a job, the worst first."""
    return tightened(log_of(records), {one.entry.id: day_of(one) for _, one, _ in records}, checks)


def told(said: Mapping[str, Any]) -> str:
    """Say which tool was found out, when, and by how much at most."""
    check = check_of("", said)
    if check.allowed is not None:
        off = max((error(one) for one in check.points), key=abs)
        return t(
            words.TOOL_SHOWED,
            tool=said["tool"],
            on=said["on"],
            off=shown(abs(off)),
            unit=check.unit,
            is_less=off < 0,
        )
    points = [one for one in check.points if one.nominal > 0]
    if not points:
        return t(words.TOOL_NOT_FIT, tool=said["tool"], on=said["on"])
    off = off_percent(worst(points))
    return t(
        words.TOOL_FOUND_OUT,
        tool=said["tool"],
        on=said["on"],
        off=shown(abs(off)),
        is_less=off < 0,
    )
