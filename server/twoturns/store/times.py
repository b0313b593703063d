"""Times as they are written, and how far a device's clock is off."""

from datetime import UTC, datetime


def as_text(moment: datetime) -> str:
    """Return a time as entries and records write it: UTC, milliseconds, `Z`."""
    utc = moment.astimezone(UTC).replace(tzinfo=None)
    return f"{utc.isoformat(timespec='milliseconds')}Z"


def offset_ms(sent_at: str, received: datetime) -> int | None:
    """
    Return the device's clock minus the server's in whole ms; the way here counts as device lag.

    None if `sent_at` is of the right shape but no time: `2026-13-40T...` measures nothing.
    """
    try:
        sent = datetime.fromisoformat(sent_at)
    except ValueError:
        return None
    return round((sent - received).total_seconds() * 1000)


def milliseconds(at: str) -> int | None:
    """Return a device's time in ms since 1970; None if it is of the right shape but no time."""
    try:
        return round(datetime.fromisoformat(at).timestamp() * 1000)
    except ValueError:
        return None
