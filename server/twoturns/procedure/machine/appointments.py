"""
Who is to do a job, when it is promised, and whether it is parked. Never of the fold.

Of plans the newest count, those that no other follows; where two planned without knowing of each
other, the last in the order of the log is taken and the other is told beside it. A job is parked
when the last word of those that no other follows says so. The phone's twin is
`client/src/work/appointments.ts`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from twoturns.procedure.machine.log import History, LogEntry

_PLANS: Final = ("job.planned",)
_RESTS: Final = ("job.parked", "job.resumed")


@dataclass(frozen=True, slots=True)
class Appointment:
    """
    What is planned of a job: the `job.planned` that counts, those `beside` it, and the `job.parked`
    that stands; each None, or empty, where there is none.
    """

    planned: str | None
    beside: tuple[str, ...]
    parked: str | None


def appointment(entries: Sequence[LogEntry]) -> Appointment:
    """Return what is planned of a job, and whether its work rests."""
    if not any(entry.kind in (*_PLANS, *_RESTS) for entry in entries):
        return Appointment(None, (), None)
    history = History(entries)
    plans, rests = _newest(history, _PLANS), _newest(history, _RESTS)
    is_parked = bool(rests) and rests[-1].kind == "job.parked"
    return Appointment(
        planned=plans[-1].id if plans else None,
        beside=tuple(one.id for one in plans[:-1]),
        parked=rests[-1].id if is_parked else None,
    )


def _newest(history: History, kinds: tuple[str, ...]) -> list[LogEntry]:
    """Return the good entries of these kinds that no other of them follows, in order."""
    said = [at for at, one in enumerate(history.entries) if one.kind in kinds and one.good]
    all_said = 0
    for at in said:
        all_said |= 1 << at
    return [history.entries[at] for at in said if not history.future[at] & all_said]
