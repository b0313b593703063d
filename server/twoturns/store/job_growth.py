"""
How jobs grow within one transaction: an entry counts to its job at once, and is written once.

The first entry of a job is written as it comes, for the job's row must be there; how many more
came, and the newest's place, when the transaction ends.
"""

from typing import Final, NamedTuple

from twoturns.store.port import Connection

UNFOLDED: Final = """
insert into unfolded values (?, ?) on conflict (job) do update set
    at = case when excluded.at > unfolded.at then excluded.at else unfolded.at end
"""


class _More(NamedTuple):
    """What is yet to be written of a job: entries more, the newest's place and time."""

    entries: int
    place: int
    shown: str


class Growth:
    """Counts the entries of jobs. What it holds is not in the views before `write`."""

    def __init__(self, db: Connection) -> None:
        self._db = db
        self._more: dict[str, _More] = {}

    def count(self, job: str, received: str, place: int, shown: str) -> None:
        """Count an entry to its job, shown from the record at `place` on, which came at `shown`."""
        known = self._more.get(job)
        if known is not None:
            self._more[job] = _More(known.entries + 1, place, shown)
            return
        self._more[job] = _More(0, place, shown)
        self._db.execute(_GROWS, {"job": job, "received": received, "place": place, "shown": shown})

    def write(self) -> None:
        rows = [{"job": job, **more._asdict()} for job, more in self._more.items()]
        self._db.executemany(_GREW, rows)
        self._db.executemany(UNFOLDED, [(job, more.place) for job, more in self._more.items()])
        self._more.clear()


_GROWS = """
insert into jobs (job, entries, first_index, first_received, last_index, last_received, changed)
values (:job, 1, :place, :received, :place, :shown, :place)
on conflict (job) do update set entries = jobs.entries + 1, last_index = excluded.last_index,
    last_received = excluded.last_received, changed = excluded.changed
"""
_GREW = """
update jobs set entries = entries + :entries, last_index = :place, last_received = :shown,
    changed = case when changed > :place then changed else :place end where job = :job
"""
