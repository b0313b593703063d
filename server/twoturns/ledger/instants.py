"""
How an instant is told: the same text on the desk, in a bag's report and on the command line.

In UTC, which the text names. A report must be the same bytes wherever it is made anew, nothing in
the ledger states a workshop's zone, and an hour of local time comes twice a year. A clock that was
set to nonsense keeps what it said: digits are put in their places, nothing is reckoned.
The phone's twin is `work/format.ts`; `tests/vectors/instants.json` holds both.
"""

from twoturns.ledger.forms import AT, is_formed
from twoturns.words import t
from twoturns.words.en.ledger import instants as words


def instant(at: str) -> str:
    """
    Return an `at` as people read it: to the second, with its zone (RFC 3339, 5.6, with a space).

    >>> instant("2026-11-24T12:00:00.000Z")
    '2026-11-24 12:00:00 UTC'
    """
    return t(words.INSTANT, day=at[:10], time=at[11:19]) if is_formed(at, AT) else at
