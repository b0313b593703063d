"""What a job's line at the desk says, and where it stands there. Pure."""

from collections.abc import Mapping
from typing import Any, Final, TypedDict

from twoturns.store.beside_work import Beside
from twoturns.store.severity import SEVERITY, severity

AGAINST_RECALL: Final = ("closed-against-recall", "approved-against-recall")
NEVER_AGES: Final = (*AGAINST_RECALL, "lot-recalled", "tool-found-out", "bundle-withdrawn")
FIRST: Final = (-1, "")  # before all ranks and jobs


STAGES: Final = ("enquiry", "declined", "open", "closed")


def stage_of(row: Mapping[str, Any]) -> str:
    """Return how far a job has come, of a row of `jobs`: one of `STAGES`."""
    if row["closed"] is not None:
        return "closed"
    if row["opened"] is not None or row["enquired"] is None:
        return "open"
    return "enquiry" if row["declined"] is None else "declined"


class Notice(TypedDict):
    """
    What the workshop stated that speaks against a job; `lot` of a recall, as it writes it, or the
    `tool` that it is of. Of a recall or a check that found a tool out `of` is that statement,
    `until` the day by which its vehicles are to be followed up, YYYY-MM-DD. `stated`: the index of
    what states it, of one that may be stated again.
    """

    code: str
    message: str
    lot: str | None
    tool: str | None
    of: str | None
    until: str | None
    stated: int | None


def notice(
    code: str,
    message: str,
    *,
    lot: str | None = None,
    tool: str | None = None,
    of: str | None = None,
    until: str | None = None,
    stated: int | None = None,
) -> Notice:
    """Return a notice; what it does not speak of is null."""
    return {
        "code": code,
        "message": message,
        "lot": lot,
        "tool": tool,
        "of": of,
        "until": until,
        "stated": stated,
    }


class Line(Beside):
    """What comes of a job's fold, and what speaks against the job; fields as in `DeskRow`."""

    vehicle: str | None
    state: str
    exceptions: int
    worst: str | None
    codes: list[str]
    questions: int
    done: int
    steps: int
    notices: list[Notice]


def ages(line: Line) -> bool:
    """Say whether a job is settled and nothing speaks against it that must stay in sight."""
    return line["state"] in ("approved", "declined") and not _has(line, NEVER_AGES)


def rank(line: Line) -> int:
    """
    Return how far down a line stands: what is to be followed up by a day, against a recall, changed
    after approval, notices, exceptions, open questions and findings, to approve, open or asked for,
    settled; among those the worst first.
    """
    worst = len(SEVERITY) if line["worst"] is None else severity(line["worst"])
    reasons = (
        any(one["until"] is not None for one in line["notices"]),
        _has(line, AGAINST_RECALL),
        line["state"] == "changed",
        bool(line["notices"]),
        line["state"] != "approved" and (line["worst"] is not None or _asks(line)),
        line["state"] == "closed",
        line["state"] in ("open", "enquiry"),
        True,
    )
    return reasons.index(True) * (len(SEVERITY) + 2) + worst + 1


def _asks(line: Line) -> bool:
    return line["questions"] > 0 or line["findings"] > 0 or line["answered"] > 0


def _has(line: Line, codes: tuple[str, ...]) -> bool:
    return any(one["code"] in codes for one in line["notices"])
