"""How bad what a fold finds is, the worst first."""

from typing import Final

NOT_FOLDED: Final = "not-folded"
# The worst first: what cannot be judged here, what may have hurt the engine, then what the
# evidence lacks, then what was said.
SEVERITY: Final = (
    NOT_FOLDED,
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
    "without-permit",
    "passed",
    "unknown",
    "reopened",
    "corrected",
    "gap-accepted",
)


def severity(code: str) -> int:
    """Return how far down a code stands; one that is not listed comes first, and is seen."""
    return SEVERITY.index(code) if code in SEVERITY else -1
