"""
The owner's desk: every job in a line, what needs eyes first.

What comes of a job's fold is kept until the job changes (`summaries`); reading changes nothing.
What the workshop states (a recalled lot, a withdrawn edition, a tool out of calibration) never
enters the fold: it is joined to the line each time, so that a recall or a withdrawal shows on jobs
long closed. Those two never age out of sight; without them a settled job is shown for a time only.
"""

import json
from typing import Any

from twoturns.store import recalls
from twoturns.store.database import Row
from twoturns.store.severity import SEVERITY, severity
from twoturns.store.store import Store
from twoturns.store.summaries import Folding, Summary
from twoturns.words import t
from twoturns.words.en.store import desk as words

_SHOWN_BEFORE = {
    "code": "shown-before",
    "message": t(words.SAME_AS_EARLIER),
    "lot": None,
}
_AGAINST_RECALL = ("closed-against-recall", "approved-against-recall")
_NEVER_AGES = (*_AGAINST_RECALL, "lot-recalled", "bundle-withdrawn")
_SHOWN = ("job", "bundle", "engine_code", "bay", "odometer_km", "vin", "plate", "entries")


def desk(store: Store, since: str) -> list[dict[str, Any]]:
    """Return what is not settled, heard of since a time or spoken against, worst first."""
    recalled, folding = store.views.recalls(), Folding(store)
    lines = (_line(store, row, folding, recalled) for row in store.views.desk(since))
    return sorted((line for line in lines if not _has_aged(line, since)), key=_rank)


def _line(store: Store, row: Row, folding: Folding, recalled: list[Row]) -> dict[str, object]:
    summary: Summary | None = None if row["summary"] is None else json.loads(row["summary"])
    if summary is None or "found" not in summary:  # an earlier version's lacks it
        summary = folding.summary(row)
    shown = {name: row[name] for name in _SHOWN} | {"last_received": row["last_received"]}
    notices = [*recalls.notices(summary["found"], recalled)]
    notices += store.views.notices(row["job"])
    # A summary that an earlier version made says nothing of what was shown before.
    notices += [_SHOWN_BEFORE] if summary.get("shown_before") else []
    told = {name: said for name, said in summary.items() if name not in ("found", "shown_before")}
    return {**shown, **told, "notices": notices}


def _has_aged(line: dict[str, Any], since: str) -> bool:
    is_old = line["state"] == "approved" and line["last_received"] < since
    return is_old and not any(one["code"] in _NEVER_AGES for one in line["notices"])


def _rank(line: dict[str, Any]) -> tuple[int, int, str]:
    """Against a recall, changed after approval, notices, exceptions, to approve, open, settled."""
    worst = len(SEVERITY) if line["worst"] is None else severity(line["worst"])
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
