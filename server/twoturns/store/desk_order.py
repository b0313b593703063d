"""What a job's line at the desk says, and where it stands there. Pure."""

from typing import Final, TypedDict

from twoturns.store.severity import SEVERITY, severity

AGAINST_RECALL: Final = ("closed-against-recall", "approved-against-recall")
NEVER_AGES: Final = (*AGAINST_RECALL, "lot-recalled", "bundle-withdrawn")
FIRST: Final = (-1, "")  # before all ranks and jobs


class Notice(TypedDict):
    """What the workshop stated that speaks against a job; `lot` of a recall, as it writes it."""

    code: str
    message: str
    lot: str | None


class Line(TypedDict):
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
    return line["state"] == "approved" and not _has(line, NEVER_AGES)


def rank(line: Line) -> int:
    """
    Return how far down a line stands: against a recall, changed after approval, notices,
    exceptions, to approve, open, settled; among those the worst first.
    """
    worst = len(SEVERITY) if line["worst"] is None else severity(line["worst"])
    reasons = (
        _has(line, AGAINST_RECALL),
        line["state"] == "changed",
        bool(line["notices"]),
        line["state"] != "approved" and (line["worst"] is not None or line["questions"] > 0),
        line["state"] == "closed",
        line["state"] == "open",
        True,
    )
    return reasons.index(True) * (len(SEVERITY) + 2) + worst + 1


def _has(line: Line, codes: tuple[str, ...]) -> bool:
    return any(one["code"] in codes for one in line["notices"])
