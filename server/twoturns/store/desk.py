"""
The owner's desk: every job in a line, what needs eyes first.

A job is folded when it has changed since it was last looked at; the result is kept as a view. What
the workshop states (a recalled lot, a withdrawn edition, a tool out of calibration) never enters
the fold: it is joined to the line each time, so that a recall shows on jobs long closed.
"""

import json
from typing import Any

from twoturns.ledger.bag.twice import file_places, shown_before
from twoturns.ledger.entry import Entry
from twoturns.procedure.bundle import check_bundle
from twoturns.procedure.errors import BundleError
from twoturns.procedure.fold import LogEntry, fold
from twoturns.procedure.machine import Machine
from twoturns.procedure.state import JobState
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
_SHOWN = ("job", "bundle", "engine_code", "bay", "odometer_km", "vin", "plate", "entries")


def desk(store: Store, since: str) -> list[dict[str, Any]]:
    """Return the jobs that are not settled, and all heard of since a time, worst first."""
    lines, fresh = [], []
    machines: dict[str, tuple[Machine, str] | None] = {}
    for row in store.views.desk(since):
        summary = None if row["summary"] is None else json.loads(row["summary"])
        if summary is None:
            summary = _summary(store, row, machines)
            if summary["vehicle"] is not None:  # without its bundle there is nothing to keep
                is_settled = summary["state"] == "approved"
                fresh.append((row["job"], row["changed"], is_settled, json.dumps(summary)))
        shown = {name: row[name] for name in _SHOWN} | {"last_received": row["last_received"]}
        # A summary that an earlier version made says nothing of what was shown before.
        again = [_SHOWN_BEFORE] if summary.pop("shown_before", False) else []
        notices = store.views.notices(row["job"])
        lines.append({**shown, **summary, "notices": [*notices, *again]})
    if fresh:
        store.views.put_summaries(fresh)
    return sorted(lines, key=_rank)


def _summary(
    store: Store, row: Row, machines: dict[str, tuple[Machine, str] | None]
) -> dict[str, Any]:
    bundle = row["bundle"] or ""
    if bundle not in machines:
        machines[bundle] = _machine(store, bundle)
    found = machines[bundle]
    if found is None:
        state = "open" if row["closed"] is None else "closed"
        return _line(None, state, [{"code": "unknown", "entry": None}], 0, (0, 0))
    machine, vehicle = found
    records = store.ledger.job_entries(row["job"])
    log = [
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
    folded = fold(machine, log)
    line = _line(
        vehicle,
        _state(folded),
        folded.to_json()["exceptions"],
        len(folded.questions),
        _progress(machine, folded),
    )
    again = _is_shown_before(store, row["job"], [record.entry for _, record, _ in records])
    return line | {"shown_before": again}


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


def _machine(store: Store, bundle: str) -> tuple[Machine, str] | None:
    """Return the machine of a published bundle: by one a phone made up anything would be right."""
    data = store.blobs.read(bundle) if store.views.is_published(bundle) else None
    if data is None:
        return None
    try:
        said = check_bundle(data)
    except BundleError:
        return None
    return Machine.from_bundle(said), str(said["vehicle"])


def _severity(code: str) -> int:
    """Return how far down a code stands; one that is not listed comes first, and is seen."""
    return SEVERITY.index(code) if code in SEVERITY else -1


def _rank(line: dict[str, Any]) -> tuple[int, int, str]:
    """Changed after approval, then notices and exceptions, questions, to approve, open, settled."""
    worst = len(SEVERITY) if line["worst"] is None else _severity(line["worst"])
    reasons = (
        line["state"] == "changed",
        bool(line["notices"]),
        line["state"] != "approved" and (line["worst"] is not None or line["questions"] > 0),
        line["state"] == "closed",
        line["state"] == "open",
        True,
    )
    return reasons.index(True), worst, line["job"]
