"""
What the desk folds out of a job and what the workshop states of it, kept until one of them changes.

The one lazy view. The projector notes in `unfolded` of which jobs something has changed, with the
record that changed it; `rebuild` and whoever serves the workshop make the summaries of those, the
latter a moment later, on a thread of its own (`begin_renewing`). Where the job itself is as it was,
nothing is folded anew. A question to the desk writes nothing: what is not made yet it makes for
itself, and throws away.
"""

import json
import logging
import math
import threading
import time
from collections.abc import Iterator, Sequence
from functools import partial
from pathlib import Path
from typing import Final, TypedDict

from twoturns.bag.repeats import file_places, shown_before
from twoturns.ledger.entry import Entry
from twoturns.procedure import shape
from twoturns.procedure.compile.bundle import check_bundle
from twoturns.procedure.errors import BundleError, NewerForm
from twoturns.procedure.machine.fold import LogEntry, fold
from twoturns.procedure.machine.machine import Machine
from twoturns.procedure.machine.state import JobState
from twoturns.store import dues, recalls, settled_notices, step_figures, wrenches
from twoturns.store.beside_work import Beside, beside
from twoturns.store.cores import on_all_cores
from twoturns.store.desk_order import Line, Notice, ages, notice, rank, stage_of
from twoturns.store.errors import PhotosAway
from twoturns.store.files import alone
from twoturns.store.logs import Records, log_of
from twoturns.store.port import Row
from twoturns.store.rebuild import Progress
from twoturns.store.severity import NOT_FOLDED, severity
from twoturns.store.store import Store
from twoturns.store.times import milliseconds
from twoturns.store.wrenches import checks_of
from twoturns.trade.hours import spent
from twoturns.trade.interval import Due, Interval
from twoturns.words import t
from twoturns.words.en.store import desk as words

# A procedure's machine, vehicle, interval and steps; or the code of why there is none.
Known = tuple[Machine, str, shape.Interval, list[shape.Step]] | str


class Summary(Line):
    """What is kept of a job."""

    found: recalls.Found
    shown_before: bool
    minutes: float | None
    settled: settled_notices.Settled
    work: step_figures.Work
    # When the job was closed as finished, and the procedure's interval: None of any other.
    closed_on: str | None
    interval: shape.Interval | None


LOOK_SECONDS: Final = 2.0
MOST_LOOKS_AWAY: Final = 15
AT_ONCE: Final = 50
A_FEW: Final = 10  # some 30 ms: phones may begin to send meanwhile


def begin_renewing(store: Store) -> None:
    """Have a thread fold what changes, for as long as this process lives."""
    threading.Thread(target=_renew_always, args=(store,), daemon=True, name="summaries").start()


def _renew_always(store: Store) -> None:
    renewing = Renewing(store)
    while True:
        renewing.look()
        time.sleep(LOOK_SECONDS)


class Renewing:
    """The folding of what changes in one workshop, look by look."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._given_up: set[tuple[str, int]] = set()
        self._lull = Lull()

    def look(self) -> None:
        """Fold what is to be folded, if phones do not send and no other process is at it."""
        store = self._store
        try:
            with alone(store.folder / "summaries.lock") as is_alone:
                while (
                    is_alone
                    and self._lull.is_one(store.ledger.size())
                    and renew(store, self._given_up)
                ):
                    pass
        except PhotosAway:
            pass  # the log has why; the next look may find it there
        except Exception:
            # Whatever it was: a thread that ends says so to nobody, and the desk folds for itself.
            logging.getLogger("twoturns").exception("folding for the desk stopped")


class Lull:
    """
    Whether phones are sending just now: they go first, for nobody waits for what is folded here,
    and it would take a processor, and the turn to write, from them. Not for ever, though.
    """

    def __init__(self) -> None:
        self._size, self._looks = 0, 0

    def is_one(self, size: int) -> bool:
        """Say so where the ledger has not grown since it was looked at last, or grows always."""
        grows, self._size = size != self._size, size
        self._looks = self._looks + 1 if grows else 0
        is_long = self._looks > MOST_LOOKS_AWAY
        if is_long:
            self._looks = 0
        return is_long or not grows


def fill(store: Store, progress: Progress = lambda *_: None) -> None:
    """Make all summaries that are to be made, on all processors; those that can be kept."""
    total, done = store.views.unfolded_jobs(), 0
    _opened[store.folder] = store
    try:
        for made in on_all_cores(partial(_made, store.folder), _unfolded(store)):
            progress(done, total)
            done += len(made)
            keep(store, [(row, said) for row, said in made if not _is_unread(row, said)])
    finally:
        del _opened[store.folder]


def _unfolded(store: Store) -> Iterator[list[Row]]:
    """Yield what is to be folded, some jobs at a time: a ledger of years has a million."""
    after = ""
    while rows := store.views.unfolded(AT_ONCE, after):
        yield rows
        after = rows[-1]["job"]


_opened: dict[Path, Store] = {}  # by a process that makes summaries


def _made(folder: Path, rows: list[Row]) -> list[tuple[Row, Summary]]:
    if folder not in _opened:
        _opened[folder] = Store(folder, needs_key=False)
    folding = Folding(_opened[folder])
    return [(row, folding.summary(row)) for row in rows]


def renew(store: Store, given_up: set[tuple[str, int]], most: int = A_FEW) -> int:
    """
    Make some of the summaries that are to be made, and keep them; return how many.

    `given_up`, which grows: jobs, each until it changes again, that this program cannot fold, or
    whose procedure should be here and cannot be read. Their summary is nothing to be kept.
    """
    rows = [
        row
        for row in store.views.unfolded(most + len(given_up))
        if (row["job"], row["at"]) not in given_up
    ]
    folding = Folding(store)
    made = [(row, folding.summary(row)) for row in rows]
    given_up |= {(row["job"], row["at"]) for row, said in made if _is_unread(row, said)}
    keep(store, [(row, said) for row, said in made if not _is_unread(row, said)])
    return len(rows)


def _is_unread(row: Row, said: Summary) -> bool:
    return (bool(row["is_noted"]) and said["vehicle"] is None) or NOT_FOLDED in said["codes"]


def keep(store: Store, made: list[tuple[Row, Summary]]) -> None:
    """
    Keep summaries, each with the row it was made of; what changed meanwhile stays to be made.

    Or it was made meanwhile, by another process: an older one does not take its place.
    """
    if not made:
        return
    with store.database.write() as db:
        for row, said in made:
            asked = [row["job"], row["at"]]
            if db.execute("delete from unfolded where job = ? and at = ?", asked).rowcount:
                kept = [row["job"], row["changed"], rank(said), ages(said), row["last_received"]]
                db.execute(_KEEP, [*kept, json.dumps(said)])
                codes = [(code, row["first_received"], row["job"]) for code in said["codes"]]
                db.execute("delete from exceptions where job = ?", [row["job"]])
                db.executemany("insert into exceptions values (?, ?, ?)", codes)
                dues.keep(db, row["job"], _limit(row, said), said["closed_on"])


def _limit(row: Row, said: Summary) -> Due | None:
    """Return where the belt of a finished job ends; None of any other."""
    if said["closed_on"] is None or said["interval"] is None or row["odometer_km"] is None:
        return None
    asked = Interval(km=said["interval"]["km"], months=said["interval"]["months"])
    return dues.limit_of(row["odometer_km"], said["closed_on"], asked)


_KEEP = """
insert into summaries values (?, ?, ?, ?, ?, ?) on conflict (job) do update set
    changed = excluded.changed, rank = excluded.rank, ages = excluded.ages,
    last_received = excluded.last_received, summary = excluded.summary
"""


class Folding:
    """
    Summaries made one after the other: each procedure, and the recalls, are read once.

    `most_logs`: of so many jobs the log is read for tools that were found out, where nothing else
    wants it: a check of a wrench may speak of thousands, and somebody waits for the desk.
    """

    def __init__(self, store: Store, most_logs: float = math.inf) -> None:
        self._logs_left = most_logs
        self._store, self._recalls = store, store.views.recalls()
        self._checks = checks_of(store)
        self._machines: dict[str, Known] = {}

    def summary(self, row: Row) -> Summary:
        """
        Return what comes of a job, of which a row says what is known (`views.unfolded`); `vehicle`
        is null where its procedure is not here. Of a job that this program cannot fold it says
        that: nobody's desk, list or thread is to end by one job that nobody foresaw.
        """
        try:
            return self._summary(row)
        except _OF_THE_JOB:
            logging.getLogger("twoturns").exception("job %s cannot be folded", row["job"])
            line = _line(None, stage_of(row), [NOT_FOLDED], 0, (0, 0), beside([], ()))
            return {**line, **_NO_WORK, "found": recalls.found([], None, None), "settled": []}

    def _summary(self, row: Row) -> Summary:
        said: Summary | None = None if row["summary"] is None else json.loads(row["summary"])
        if said is None or said["vehicle"] is None:  # its procedure may have come since
            said = _summary(self._store, row, self._machines)
        settled = said["settled"]
        said["notices"] = [
            one
            for one in self._notices(row["job"], said)
            if not settled_notices.is_in(settled, one["code"], one["tool"], one["stated"])
        ]
        return said

    def notices(self, job: str) -> tuple[list[Notice], settled_notices.Settled]:
        """Return what speaks against a job that is here, and what of it its owner has settled."""
        row = self._store.views.job(job)
        said = _summary(self._store, row, self._machines)
        return self._notices(job, said), said["settled"]

    def _notices(self, job: str, said: Summary) -> list[Notice]:
        found = [*recalls.notices(said["found"], self._recalls)]
        if self._logs_left > 0 and wrenches.are_doubted(self._store, job, self._checks):
            self._logs_left -= 1
            found += wrenches.notices(self._store, job, self._checks)
        found += self._store.views.notices(job)
        return found + ([_SHOWN_BEFORE] if said["shown_before"] else [])


def _summary(store: Store, row: Row, machines: dict[str, Known]) -> Summary:
    if row["opened"] is None and row["enquired"] is not None:
        return _asked_for(row, log_of(store.ledger.job_entries(row["job"])))
    bundle = row["bundle"] or ""
    if bundle not in machines:
        machines[bundle] = _machine(store, bundle)
    known = machines[bundle]
    records = store.ledger.job_entries(row["job"])
    log = log_of(records)
    if isinstance(known, str):
        state = "open" if row["closed"] is None else "closed"
        line = _line(None, state, [known], 0, (0, 0), beside(log, ()))
        parts = recalls.found(log, row["closed"], _approved_at(records))
        settled = settled_notices.settled(records)
        return {
            **line,
            **_NO_WORK,
            "found": parts,
            "settled": settled,
        }
    machine, vehicle, interval, steps = known
    folded = fold(machine, log)
    line = _line(
        vehicle,
        _state(folded),
        [flag.code for flag in folded.exceptions],
        len(folded.questions),
        _progress(machine, folded),
        beside(log, steps),
    )
    finished_at = _finished_at(machine, folded, records)
    return {
        **line,
        "shown_before": _is_shown_before(store, row["job"], [one.entry for _, one, _ in records]),
        "found": recalls.found(log, finished_at, _approved_at(records)),
        "minutes": _minutes(records, finished_at),
        "settled": settled_notices.settled(records),
        "work": step_figures.of_job(
            [one.entry for _, one, standing in records if standing == "good"]
        ),
        "closed_on": next((one.received for at, one, _ in records if at == finished_at), None),
        "interval": interval,
    }


def _asked_for(row: Row, log: list[LogEntry]) -> Summary:
    """Return what the desk says of a call: there is no work yet."""
    state = "enquiry" if row["declined"] is None else "declined"
    return {
        **_line(None, state, [], 0, (0, 0), beside(log, ())),
        **_NO_WORK,
        "found": recalls.found([], None, None),
        "settled": [],
    }


class _NoWork(TypedDict):
    shown_before: bool
    minutes: None
    work: step_figures.Work
    closed_on: None
    interval: None


# What a job's own entries may bring about, and no disk does.
_OF_THE_JOB: Final = (
    *(ArithmeticError, AttributeError, LookupError, RecursionError, TypeError, ValueError),
)
_NO_WORK: Final[_NoWork] = {
    "shown_before": False,
    "minutes": None,
    "work": step_figures.nothing(),
    "closed_on": None,
    "interval": None,
}


def _minutes(records: Records, finished_at: int | None) -> float | None:
    """Return how long a finished job took, pauses left out; None for one that is not finished."""
    if finished_at is None:
        return None
    ats = (milliseconds(record.entry.at) for at, record, _ in records if at <= finished_at)
    return spent(at for at in ats if at is not None).worked


def _finished_at(machine: Machine, folded: JobState, records: Records) -> int | None:
    """Return where the job was closed as finished; None if it is open, or ended otherwise."""
    closed = folded.closed
    if closed is None or not any(end.id == closed.end and end.all_must for end in machine.ends):
        return None
    return next(index for index, record, _ in records if record.entry.id == closed.entry)


def _approved_at(records: Records) -> int | None:
    approvals = [
        index
        for index, record, standing in records
        if record.entry.kind == "review.approved" and standing == "good"
    ]
    return max(approvals, default=None)


def _is_shown_before(store: Store, job: str, entries: list[Entry]) -> bool:
    """Say whether the job shows a photo or recording twice, or one of another job."""
    shown = {blob for one in entries for blob, _ in file_places(one)}
    return bool(shown_before(entries)) or store.views.are_of_another_job(shown, job)


def _line(
    vehicle: str | None,
    state: str,
    codes: Sequence[str],
    questions: int,
    progress: tuple[int, int],
    stands_beside: Beside,
) -> Line:
    """Return a line; `codes` are those of all exceptions, one as often as it was found."""
    worst = sorted(set(codes), key=severity)
    return {
        "vehicle": vehicle,
        "state": state,
        "exceptions": len(codes),
        "worst": worst[0] if worst else None,
        "codes": worst,
        "questions": questions,
        "done": progress[0],
        "steps": progress[1],
        "notices": [],
        **stands_beside,
    }


def _state(folded: JobState) -> str:
    """`open`, `closed`, `approved`, or `changed`: approved, then changed."""
    if folded.approved is not None:
        return folded.approved
    return "open" if folded.closed is None else "closed"


def _progress(machine: Machine, folded: JobState) -> tuple[int, int]:
    must = [at for at, step in enumerate(machine.steps) if step.must]
    return sum(folded.steps[at] != "todo" for at in must), len(must)


def _machine(store: Store, bundle: str) -> Known:
    """
    Return machine, vehicle, interval and steps of a published bundle: by one a phone made up
    anything would be right. Where there is none to fold by, the code of what that means for the
    job.
    """
    data = store.blobs.read(bundle) if store.views.is_published(bundle) else None
    if data is None:
        return "unknown"
    try:
        said = check_bundle(data)
    except NewerForm:
        return "unread"
    except BundleError:
        return "unknown"
    return Machine.from_bundle(said), str(said["vehicle"]), said["interval"], said["steps"]


_SHOWN_BEFORE: Final = notice("shown-before", t(words.SAME_AS_EARLIER))
