"""
What a recall finds in a job: the parts that are in the engine, and those the owner took over.

A gate of the phone before the end and of the desk before the approval, never of the fold: whether
the work was done as it should be does not change by what is found out about a part years later.

A fitted part is in the engine until a good `part.fitted` of the same step and name follows on it.
One whose word is doubted may be in there all the same, and takes nobody else's place. The owner
takes a part over with a good `recall.borne`, which names the recall and the fitting: another
recall, or the next part of that lot, is another matter. A good `recall.followed` that says
`replaced` of a recall speaks of all that was fitted before it: it was done elsewhere, or in another
job. The phone's twin is `client/src/work/recalls.ts`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from operator import itemgetter

from twoturns.procedure.machine.log import History, LogEntry


@dataclass(frozen=True, slots=True)
class FittedPart:
    """
    A part with a lot, as one entry says it was fitted. `borne` are the recalls taken over,
    `followed` those against which it was replaced elsewhere.
    """

    entry: str
    step: str
    name: str
    part: str
    lot: str
    borne: tuple[str, ...] = ()
    followed: tuple[str, ...] = ()

    def stops(self, recall: str) -> bool:
        """Say whether a recall of its lot still speaks against it."""
        return recall not in self.borne and recall not in self.followed


def in_engine(entries: Sequence[LogEntry]) -> list[FittedPart]:
    """Return the parts that are in the engine, in the order of the log."""
    if not any(entry.kind == "part.fitted" for entry in entries):
        return []
    history = History(entries)
    fitted = [at for at, one in enumerate(history.entries) if one.kind == "part.fitted"]
    at_place: dict[tuple[str, str], list[int]] = {}
    for at in fitted:
        at_place.setdefault(itemgetter("step", "name")(history.entries[at].body), []).append(at)
    replaced = {
        before
        for here in at_place.values()
        for after in here
        if history.entries[after].good
        for before in here
        if history.past[after] >> before & 1
    }
    borne, followed = _borne(history), _replaced_elsewhere(history)
    return [
        _part(history.entries[at], borne, {of for of, past in followed if past >> at & 1})
        for at in fitted
        if at not in replaced
    ]


def _replaced_elsewhere(history: History) -> list[tuple[str, int]]:
    """Return the recalls of which it was said that the part was replaced, and what was before."""
    return [
        (one.body["of"], history.past[at])
        for at, one in enumerate(history.entries)
        if one.kind == "recall.followed" and one.good and one.body["how"] == "replaced"
    ]


def _borne(history: History) -> dict[str, set[str]]:
    """Return the recalls that were taken over, by the fitting of the part."""
    borne: dict[str, set[str]] = {}
    for one in history.entries:
        if one.kind == "recall.borne" and one.good:
            for part in one.body["parts"]:
                borne.setdefault(part, set()).add(one.body["recall"])
    return borne


def _part(entry: LogEntry, borne: dict[str, set[str]], followed: set[str]) -> FittedPart:
    said = {name: entry.body[name] for name in ("step", "name", "part", "lot")}
    taken = tuple(sorted(borne.get(entry.id, ())))
    return FittedPart(entry=entry.id, **said, borne=taken, followed=tuple(sorted(followed)))
