"""What was stated against a bag's job: recalled parts, a withdrawal, a tool that was found out."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from twoturns.bag.account import Oddity
from twoturns.ledger.entry import Entry
from twoturns.procedure.machine.found_out import tightened
from twoturns.procedure.machine.log import LogEntry
from twoturns.procedure.machine.recalled_parts import FittedPart, in_engine
from twoturns.trade.as_found import Check, shown
from twoturns.trade.spelling import lot_key


def stated_against(
    log: Sequence[LogEntry], recalls: Iterable[Entry], withdrawals: Iterable[Entry]
) -> Iterator[Oddity]:
    """Yield entries of the job and what is stated against each: part fitted, job opened."""
    of_lot: dict[str, list[FittedPart]] = {}
    for part in in_engine(log):
        of_lot.setdefault(lot_key(part.lot), []).append(part)
    for recall in recalls:
        for part in of_lot.get(lot_key(recall.body["lot"]), ()):
            yield Oddity(part.entry, _code(part, recall.id), other=recall.id)
    opened = [one for one in log if one.kind == "job.opened"]
    for said in withdrawals:
        for one in opened:
            if one.body["bundle"] == said.body["bundle"]:
                yield Oddity(one.id, "procedure-withdrawn", other=said.id)


def _code(part: FittedPart, recall: str) -> str:
    if part.stops(recall):
        return "lot-recalled"
    return "recall-borne" if recall in part.borne else "recall-followed"


def tightened_out(
    log: Sequence[LogEntry], days: Mapping[str, str], checks: Mapping[str, Sequence[Check]]
) -> Iterator[Oddity]:
    """Yield readings with a tool that was found out, but those that are inside all the same."""
    for one in tightened(log, days, checks):
        if one.verdict != "inside":
            code = "tool-followed" if one.is_settled else "tool-found-out"
            is_known = one.verdict == "outside" and one.actual is not None
            actual = shown(one.actual or 0) if is_known else None
            yield Oddity(one.entry, code, name=actual, other=one.check)
