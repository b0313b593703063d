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
import threading
import time
from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import Final

from twoturns.bag.repeats import file_places, shown_before
from twoturns.ledger.entry import Entry
from twoturns.ledger.record import Record
from twoturns.procedure.compile.bundle import check_bundle
from twoturns.procedure.errors import BundleError, NewerForm
from twoturns.procedure.machine.fold import LogEntry, fold
from twoturns.procedure.machine.machine import Machine
from twoturns.procedure.machine.state import JobState
from twoturns.store import recalls
from twoturns.store.cores import on_all_cores
from twoturns.store.database import Row
from twoturns.store.desk_order import Line, Notice, ages, rank
from twoturns.store.errors import StoreError
from twoturns.store.files import alone
from twoturns.store.rebuild import Progress
from twoturns.store.severity import severity
from twoturns.store.store import Store
from twoturns.words import t
from twoturns.words.en.store import desk as words

Records = list[tuple[int, Record, str]]  # of a job: index, record, standing


class Summary(Line):
    """What is kept of a job."""

    found: recalls.Found
    shown_before: bool


LOOK_SECONDS: Final = 2.0
MOST_LOOKS_AWAY: Final = 15
AT_ONCE: Final = 50
A_FEW: Final = 10  # some 30 ms: phones may begin to send meanwhile


def begin_renewing(store: Store) -> None:
    """Have a thread fold what changes, for as long as this process lives."""
    threading.Thread(target=_renew_always, args=(store,), daemon=True, name="summaries").start()


def _renew_always(store: Store) -> None:
    given_up: set[tuple[str, int]] = set()
    lull = Lull()
    while True:
        try:
            with alone(store.folder / "summaries.lock") as is_alone:
                while is_alone and lull.is_one(store.ledger.size()) and renew(store, given_up):
                    pass
        except (StoreError, OSError) as error:
            logging.getLogger("twoturns").warning("folding for the desk stopped: %s", error)
        time.sleep(LOOK_SECONDS)


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
    rows, done = store.views.unfolded(), 0
    total = len(rows)
    pieces = (rows[start : start + AT_ONCE] for start in range(0, total, AT_ONCE))
    _opened[store.folder] = store
    try:
        for made in on_all_cores(partial(_made, store.folder), pieces):
            progress(done, total)
            done += len(made)
            keep(store, [(row, said) for row, said in made if not _is_unread(row, said)])
    finally:
        del _opened[store.folder]


_opened: dict[Path, Store] = {}  # by a process that makes summaries


def _made(folder: Path, rows: list[Row]) -> list[tuple[Row, Summary]]:
    if folder not in _opened:
        _opened[folder] = Store(folder, needs_key=False)
    folding = Folding(_opened[folder])
    return [(row, folding.summary(row)) for row in rows]


def renew(store: Store, given_up: set[tuple[str, int]], most: int = A_FEW) -> int:
    """
    Make some of the summaries that are to be made, and keep them; return how many.

    `given_up`, which grows: jobs, each until it changes again, whose procedure should be here and
    cannot be read. Their summary is nothing to be kept.
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
    return bool(row["is_noted"]) and said["vehicle"] is None


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


_KEEP = "insert or replace into summaries values (?, ?, ?, ?, ?, ?)"


class Folding:
    """Summaries made one after the other: each procedure, and the recalls, are read once."""

    def __init__(self, store: Store) -> None:
        self._store, self._recalls = store, store.views.recalls()
        self._machines: dict[str, tuple[Machine, str] | str] = {}

    def summary(self, row: Row) -> Summary:
        """
        Return what comes of a job, of which a row says what is known (`views.unfolded`); `vehicle`
        is null where its procedure is not here.
        """
        said: Summary | None = None if row["summary"] is None else json.loads(row["summary"])
        if said is None or said["vehicle"] is None:  # its procedure may have come since
            said = _summary(self._store, row, self._machines)
        said["notices"] = self._notices(row["job"], said)
        return said

    def _notices(self, job: str, said: Summary) -> list[Notice]:
        found = [*recalls.notices(said["found"], self._recalls)]
        found += self._store.views.notices(job)
        return found + ([_SHOWN_BEFORE] if said["shown_before"] else [])


def _summary(store: Store, row: Row, machines: dict[str, tuple[Machine, str] | str]) -> Summary:
    bundle = row["bundle"] or ""
    if bundle not in machines:
        machines[bundle] = _machine(store, bundle)
    known = machines[bundle]
    records = store.ledger.job_entries(row["job"])
    log = _log(records)
    if isinstance(known, str):
        state = "open" if row["closed"] is None else "closed"
        line = _line(None, state, [known], 0, (0, 0))
        parts = recalls.found(log, row["closed"], _approved_at(records))
        return {**line, "shown_before": False, "found": parts}
    machine, vehicle = known
    folded = fold(machine, log)
    line = _line(
        vehicle,
        _state(folded),
        [flag.code for flag in folded.exceptions],
        len(folded.questions),
        _progress(machine, folded),
    )
    finished_at = _finished_at(machine, folded, records)
    return {
        **line,
        "shown_before": _is_shown_before(store, row["job"], [one.entry for _, one, _ in records]),
        "found": recalls.found(log, finished_at, _approved_at(records)),
    }


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


def _log(records: Records) -> list[LogEntry]:
    return [
        LogEntry(
            id=record.entry.id,
            after=record.entry.after,
            kind=record.entry.kind,
            body=record.entry.body,
            standing=standing,
            person=record.entry.person,
            device=record.entry.device,
        )
        for _, record, standing in records
    ]


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
    }


def _state(folded: JobState) -> str:
    """`open`, `closed`, `approved`, or `changed`: approved, then changed."""
    if folded.approved is not None:
        return folded.approved
    return "open" if folded.closed is None else "closed"


def _progress(machine: Machine, folded: JobState) -> tuple[int, int]:
    must = [at for at, step in enumerate(machine.steps) if step.must]
    return sum(folded.steps[at] != "todo" for at in must), len(must)


def _machine(store: Store, bundle: str) -> tuple[Machine, str] | str:
    """
    Return machine and vehicle of a published bundle: by one a phone made up anything would be
    right. Where there is none to fold by, the code of what that means for the job.
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
    return Machine.from_bundle(said), str(said["vehicle"])


_SHOWN_BEFORE: Final[Notice] = {
    "code": "shown-before",
    "message": t(words.SAME_AS_EARLIER),
    "lot": None,
}
