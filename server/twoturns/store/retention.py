"""
Jobs that are kept longer than the workshop said it would: proposed to be erased, and no more.

`retention.set` is what an owner says; nothing acts on it by itself. What is erased, somebody orders
with his reason (`erasures`).
"""

from datetime import datetime, timedelta
from typing import Final

from twoturns.store.port import Row
from twoturns.store.sight import OPEN
from twoturns.store.store import Store
from twoturns.store.times import as_text

FROM_THE_START: Final = (-1, "")


def days_kept(store: Store) -> int | None:
    """Return how many days jobs are kept, as was said last; None if nobody said it."""
    said = store.ledger.statements("retention.set")
    return int(said[-1].entry.body["days"]) if said else None


def kept_too_long(store: Store, now: datetime, after: tuple[int, str], most: int) -> list[Row]:
    """
    Return jobs of which nothing was heard for longer than that, and which still name a vehicle or a
    customer that no order hides: `last_index`, `job`, `plate`, `last_received`; the longest kept
    first, behind a place, so many at most. None where nobody said how long, and none that is in
    work or parked: its vehicle may stand there still, and whoever goes on must know whose it is.
    """
    days = days_kept(store)
    if days is None:
        return []
    try:
        before = as_text(now - timedelta(days=days))
    except OverflowError:  # before the year 1: nothing is as old as that
        return []
    asked = {"since": after[0], "before": before, "most": most}
    return store.database.rows(_KEPT_TOO_LONG, asked)


# Erased, or ordered to be and not withdrawn: an order that was carried out is among the erased.
_GONE = """
    exists (select 1 from erased where erased.blob = own.value)
    or exists (select 1 from ordered where ordered.blob = own.value and not exists (
        select 1 from order_words where order_words.id = ordered.id
            and order_words.says = 'withdrawn'))
"""
_KEPT_TOO_LONG = f"""
select last_index, job, plate, last_received from jobs
where last_index > :since and last_received < :before and (opened is null or not {OPEN})
and exists (
    select 1 from (select vin_blob as value union all select plate_blob
        union all select customer_blob union all select phone_blob) as own
    where own.value is not null and not ({_GONE}))
order by last_index limit :most
"""  # noqa: S608 - our own
