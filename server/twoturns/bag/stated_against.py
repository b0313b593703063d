"""What the workshop stated against a bag's job: recalled parts in the engine, a withdrawal."""

from collections.abc import Iterable, Iterator, Sequence

from twoturns.bag.account import Oddity
from twoturns.ledger.entry import Entry
from twoturns.procedure.machine.log import LogEntry
from twoturns.procedure.machine.recalled_parts import FittedPart, in_engine
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
            code = "recall-borne" if recall.id in part.borne else "lot-recalled"
            yield Oddity(part.entry, code, other=recall.id)
    opened = [one for one in log if one.kind == "job.opened"]
    for said in withdrawals:
        for one in opened:
            if one.body["bundle"] == said.body["bundle"]:
                yield Oddity(one.id, "procedure-withdrawn", other=said.id)
