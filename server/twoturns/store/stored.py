"""
Records as the ledger keeps them. What went in could be read, so one that cannot is damaged.

Of a newer program's records that is not so said: they can be read, and are not judged.
"""

from twoturns.ledger.errors import LedgerError
from twoturns.ledger.record import Record, parse
from twoturns.store.errors import RESTORE, Damaged
from twoturns.words import t
from twoturns.words.en.store import stored as words


def stored(index: int, text: str) -> Record:
    """
    Read a record of the ledger's.

    Raises:
        Damaged: If it cannot be read.
    """
    try:
        return parse(text)
    except LedgerError as error:
        raise damaged(index) from error


def damaged(index: int) -> Damaged:
    """Return the refusal for a record that is not the one it was."""
    return Damaged(
        t(words.RECORD_NOT_IN_TREE, index=index),
        hint=RESTORE,
    )
