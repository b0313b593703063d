"""Ruling on what is held back of a revoked device, by the console."""

from collections.abc import Sequence
from datetime import datetime
from typing import Literal

from twoturns.store.store import Store

# As many at once as a page of the log may grow by on a poor line: some 45 kB, half a minute.
RULED_AT_ONCE = 50


def rule(
    store: Store,
    kind: Literal["work.accepted", "work.refused"],
    entries: Sequence[str],
    because: str,
    now: datetime,
) -> None:
    """State that entries are accepted or refused, so many in one statement as a page bears."""
    for start in range(0, len(entries), RULED_AT_ONCE):
        some = list(entries[start : start + RULED_AT_ONCE])
        store.ledger.state(kind, {"entries": some, "because": because}, now)
