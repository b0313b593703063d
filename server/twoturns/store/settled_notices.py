"""
Which of the notices against a job its owner has settled, with a reason (`notice.settled`).

A recall is not settled by a word: each part is replaced or taken over (`recalls`). A word covers
what stood when it was said: photos that it had seen, uses of a tool that it had seen, a withdrawal
that was stated before it. What came later is told again.
"""

from collections.abc import Iterable
from typing import Final

from twoturns.procedure.machine.log import History, LogEntry, bits
from twoturns.store.logs import Records, log_of
from twoturns.store.sight import OWNERS_WORD
from twoturns.trade.spelling import tool_key

SETTLES: Final = frozenset(
    {"bundle-withdrawn", "bundle-not-published", "tool-retired"}
    | {"tool-not-calibrated", "shown-before"}
)
ANSWERED: Final = "question-answered"
_SHOWS: Final = ("photo.taken", "reading.taken")  # what brings a photo or a recording
_USES: Final = {"reading.taken": "tool", "tool.out": "id"}  # where it names a tool

# The code of a notice, what it is about, and at which index of the ledger it was settled.
Settled = list[tuple[str, str | None, int]]


def can_settle(code: str) -> bool:
    """Say whether a notice is one that an owner's word settles."""
    return code in SETTLES


def settled(records: Records) -> Settled:
    """Return what the good entries of a job settle."""
    places = {
        one.entry.id: at
        for at, one, standing in records
        if one.entry.kind == "notice.settled" and standing == "good"
    }
    if not places:
        return []
    history = History(log_of(records))
    said = [(history.entries[history.index[one]], one) for one in places]
    return [
        (one.body["notice"], one.body.get("about"), places[name])
        for one, name in said
        if not _grounds(history, one) & ~history.past[history.index[name]]
    ]


def _grounds(history: History, said: LogEntry) -> int:
    """Return the entries that a notice stands on, and that who settles it has to have seen."""
    code, about = said.body["notice"], said.body.get("about")
    return sum(
        1 << at
        for at in bits(history.all)
        if (code == "shown-before" and history.entries[at].kind in _SHOWS)
        or (about is not None and _uses(history.entries[at], about))
    )


def _uses(one: LogEntry, tool: str) -> bool:
    used = one.body.get(_USES.get(one.kind, ""))
    return used is not None and tool_key(used) == tool_key(tool)


def unread_answers(log: Iterable[LogEntry]) -> int:
    """
    Return how many answers no owner has said anything after, in the order of the ledger: they stay
    to be read, until one of them says that they were (`question-answered`).
    """
    unread = 0
    for one in log:
        is_read = one.kind == "notice.settled" and one.body["notice"] == ANSWERED
        if one.good and (is_read or one.kind in OWNERS_WORD):
            unread = 0
        elif one.good and one.kind == "review.answered":
            unread += 1
    return unread


def is_in(settled: Settled, code: str, about: str | None, stated: int | None) -> bool:
    """Say whether a notice, stated at an index if at one, was settled since."""
    return can_settle(code) and any(
        (code, about) == (one, of) and at > (stated or -1) for one, of, at in settled
    )
