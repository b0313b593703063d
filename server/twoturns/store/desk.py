"""
The owner's desk: every job in a line, what needs eyes first.

A job is folded when it has changed since it was last looked at; the result is kept as a view. What
the workshop states (a recalled lot, a withdrawn edition, a tool out of calibration) never enters
the fold: it is joined to the line each time, so that a recall or a withdrawal shows on jobs long
closed. Those two never age out of sight; without them a settled job is shown for a time only.
"""

import json
from typing import Any

from twoturns.bag.repeats import file_places, shown_before
from twoturns.ledger.entry import Entry
from twoturns.ledger.record import Record
from twoturns.procedure.compile.bundle import check_bundle
from twoturns.procedure.errors import BundleError, NewerForm
from twoturns.procedure.machine.fold import LogEntry, fold
from twoturns.procedure.machine.machine import Machine
from twoturns.procedure.machine.state import JobState
from twoturns.store import recalls
from twoturns.store.database import Row
from twoturns.store.store import Store

# The worst first: what cannot be judged here, what may have hurt the engine, then what the
# evidence lacks, then what was said.
SEVERITY = (
    "unread",
    "rule-broken",
    "outside-limits",
    "proof-missing",
    "out-of-order",
    "tool-lost",
    "forked",
    "doubted",
    "concurrent",
    "opened-again",
    "gap",
    "failed",
    "passed",
    "unknown",
    "reopened",
    "corrected",
    "gap-accepted",
)
_SHOWN_BEFORE = {
    "code": "shown-before",
    "message": "a photo or recording is the very same as one of an earlier entry",
    "lot": None,
}
_AGAINST_RECALL = ("closed-against-recall", "approved-against-recall")
_NEVER_AGES = (*_AGAINST_RECALL, "lot-recalled", "bundle-withdrawn")
Records = list[tuple[int, Record, str]]  # of a job: index, record, standing
_SHOWN = ("job", "bundle", "engine_code", "bay", "odometer_km", "vin", "plate", "entries")


def desk(store: Store, since: str) -> list[dict[str, Any]]:
    """Return what is not settled, heard of since a time or spoken against, worst first."""
    lines, fresh = [], []
    recalled = store.views.recalls()
    machines: dict[str, tuple[Machine, str] | str] = {}
    for row in store.views.desk(since):
        summary = None if row["summary"] is None else json.loads(row["summary"])
        if summary is None or "found" not in summary:  # an earlier version's lacks it
            summary = _summary(store, row, machines)
            if summary["vehicle"] is not None:  # without its bundle there is nothing to keep
                is_settled = summary["state"] == "approved"
                fresh.append((row["job"], row["changed"], is_settled, json.dumps(summary)))
        shown = {name: row[name] for name in _SHOWN} | {"last_received": row["last_received"]}
        notices = [*recalls.notices(summary.pop("found"), recalled)]
        notices += store.views.notices(row["job"])
        # A summary that an earlier version made says nothing of what was shown before.
        notices += [_SHOWN_BEFORE] if summary.pop("shown_before", False) else []
        line = {**shown, **summary, "notices": notices}
        if not _has_aged(line, since):
            lines.append(line)
    if fresh:
        store.views.put_summaries(fresh)
    return sorted(lines, key=_rank)


def _has_aged(line: dict[str, Any], since: str) -> bool:
    is_old = line["state"] == "approved" and line["last_received"] < since
    return is_old and not any(one["code"] in _NEVER_AGES for one in line["notices"])


def _summary(
    store: Store, row: Row, machines: dict[str, tuple[Machine, str] | str]
) -> dict[str, Any]:
    bundle = row["bundle"] or ""
    if bundle not in machines:
        machines[bundle] = _machine(store, bundle)
    known = machines[bundle]
    records = store.ledger.job_entries(row["job"])
    log = _log(records)
    if isinstance(known, str):
        state = "open" if row["closed"] is None else "closed"
        line = _line(None, state, [{"code": known, "entry": None}], 0, (0, 0))
        return line | {"found": recalls.found(log, row["closed"], _approved_at(records))}
    machine, vehicle = known
    folded = fold(machine, log)
    line = _line(
        vehicle,
        _state(folded),
        folded.to_json()["exceptions"],
        len(folded.questions),
        _progress(machine, folded),
    )
    finished_at = _finished_at(machine, folded, records)
    return line | {
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
    exceptions: list[dict[str, Any]],
    questions: int,
    progress: tuple[int, int],
) -> dict[str, Any]:
    codes = sorted({flag["code"] for flag in exceptions}, key=_severity)
    return {
        "vehicle": vehicle,
        "state": state,
        "exceptions": len(exceptions),
        "worst": codes[0] if codes else None,
        "codes": codes,
        "questions": questions,
        "done": progress[0],
        "steps": progress[1],
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


def _severity(code: str) -> int:
    """Return how far down a code stands; one that is not listed comes first, and is seen."""
    return SEVERITY.index(code) if code in SEVERITY else -1


def _rank(line: dict[str, Any]) -> tuple[int, int, str]:
    """Against a recall, changed after approval, notices, exceptions, to approve, open, settled."""
    worst = len(SEVERITY) if line["worst"] is None else _severity(line["worst"])
    reasons = (
        any(one["code"] in _AGAINST_RECALL for one in line["notices"]),
        line["state"] == "changed",
        bool(line["notices"]),
        line["state"] != "approved" and (line["worst"] is not None or line["questions"] > 0),
        line["state"] == "closed",
        line["state"] == "open",
        True,
    )
    return reasons.index(True), worst, line["job"]
