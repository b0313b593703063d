"""
A record: an entry as it was received, and what a leaf of the tree covers.

`RECEIVED SP OFFSET SP LINE`: the server's time, the device's measured clock offset in whole
milliseconds (device minus server, with its sign; `?` if it was not measured), and the entry line.
"""

import re
from dataclasses import dataclass

from twoturns.words import t
from twoturns.words.en.ledger import record as words

from . import entry, forms
from .entry import Entry
from .errors import BadRecord
from .tree import leaf_hash

_FORM = re.compile(rf"({forms.AT}) (\?|\+0|[+-][1-9][0-9]{{0,14}}) (.*)", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Record:
    """An entry, when the server received it, and how far its device's clock was off."""

    received: str
    offset_ms: int | None
    entry: Entry

    @property
    def text(self) -> str:
        """The record as it is kept, without a line end."""
        offset = "?" if self.offset_ms is None else f"{self.offset_ms:+d}"
        return f"{self.received} {offset} {self.entry.line}"

    @property
    def leaf(self) -> bytes:
        """The record's leaf in the tree."""
        return leaf_hash(self.text.encode())


def stamp_of(text: str) -> str:
    """Return what the server put before the line: `RECEIVED SP OFFSET`."""
    return " ".join(text.split(" ", 2)[:2])


def parse(text: str) -> Record:
    """
    Read a record.

    Raises:
        BadRecord: Not of the form.
        LedgerError: As `entry.parse`, of its line.
    """
    form = _FORM.fullmatch(text)
    if not form:
        raise BadRecord(
            t(words.NOT_A_RECORD, text=f"{text[:60]!r}"),
            hint=t(words.NOT_A_RECORD_HINT),
        )
    received, offset, line = form.groups()
    return Record(received, None if offset == "?" else int(offset), entry.parse(line))
