"""What a device's clock said against when the workshop received it. Nothing here decides."""

from collections.abc import Iterable
from datetime import datetime
from typing import Final

from twoturns.ledger.record import Record

AHEAD_MS: Final = 60_000  # a phone's clock within a minute of ours is no oddity; from memory


def moment_ms(at: str) -> int | None:
    """Return the milliseconds since 1970 of an `at`, or None where it names no time."""
    try:
        when = datetime.fromisoformat(at)
    except ValueError:
        return None
    return int(when.timestamp() * 1000)


def waited_ms(record: Record) -> int | None:
    """
    Return how long an entry waited on its device, by that device's clock.

    The measured offset is taken out where there is one. Below zero: the device says that it
    wrote the entry after it was received.
    """
    wrote, received = moment_ms(record.entry.at), moment_ms(record.received)
    if wrote is None or received is None:
        return None
    return received - (wrote - (record.offset_ms or 0))


def short(at: str) -> str:
    """
    Shorten an `at` to the second; a nonsense one stays what it is.

    >>> short("2026-11-24T12:00:00.000Z")
    '2026-11-24 12:00:00'
    """
    return at[:19].replace("T", " ")


def spoken(ms: int) -> str:
    """
    Say a duration in whole minutes.

    >>> spoken(11_640_000)
    '3 h 14 min'
    """
    hours, minutes = divmod(round(ms / 60_000), 60)
    return f"{hours} h {minutes} min" if hours else f"{minutes} min"


def of_device(records: Iterable[Record]) -> str:
    """Say how a device's clock stood over its entries of the job."""
    held = list(records)
    waits = [waited_ms(one) for one in held]
    told = [wait for wait in waits if wait is not None]
    offsets = [one.offset_ms for one in held if one.offset_ms is not None]
    said = [f"{len(held)} entries"]
    if told:
        said.append(f"received at most {spoken(max(0, *told))} after its own time")
    if ahead := sum(wait < -AHEAD_MS for wait in told):
        said.append(f"{ahead} of them dated after they were received")
    if nonsense := waits.count(None):
        said.append(f"{nonsense} of them dated with no time at all")
    if offsets:
        said.append(f"its clock was {min(offsets):+d} to {max(offsets):+d} ms off, measured")
    else:
        said.append("its clock was not measured")
    return "; ".join(said)
