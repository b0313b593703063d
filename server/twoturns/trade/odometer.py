"""
What a dial shows that counts miles: a record is in kilometres, whatever was read.

S1, NIST Special Publication 811 (2008), appendix B.8: the international mile, exactly.
The phone's twin is `work/dial-unit.ts`.
"""

from typing import Final

KM_PER_MILE: Final = 1.609344  # exact, S1


def miles_on_dial(km: int | None, unit: str | None) -> int | None:
    """
    Return what the dial shows, whole miles; None where it counts kilometres, or nothing is known.

    >>> miles_on_dial(88514, "mi"), miles_on_dial(88514, None)
    (55000, None)
    """
    return round(km / KM_PER_MILE) if km is not None and unit == "mi" else None
