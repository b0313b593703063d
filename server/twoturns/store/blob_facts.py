"""
What blobs say that the views tell of: read and checked before a transaction, asked for inside it.

A write transaction holds up every other writer, so it opens no file and checks no bundle. Whoever
begins one reads first what its entries name. What nobody could foresee (another process kept the
blob in between, or an acceptance releases an opening that came long ago) ends the transaction as
`NotRead`: all of it is undone, the blob is read, and it begins anew.

Between the reading and the transaction a blob's bytes may

- come in: they count from the `blob.kept` on that says so, and whoever states that has read them;
- be erased: then the views know it, and the projector asks them first (`erased`);
- be damaged, or put right again: what was read whole was whole. What could not be read stays out of
  the views, as it always did, until they are made anew.

So nothing that was read before it is less true inside.
"""

import json
from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from itertools import islice
from typing import Any, TypeVar, cast

from twoturns.ledger import private
from twoturns.ledger.entry import Entry
from twoturns.procedure import shape
from twoturns.procedure.compile.bundle import MOST_BYTES
from twoturns.store.blob_texts import bundle_of, private_value, wants_an_owner
from twoturns.store.blobs import Blobs
from twoturns.store.port import Database
from twoturns.words import t
from twoturns.words.en.store import blob_facts as words

T = TypeVar("T")
AT_ONCE = 500


class NotRead(Exception):
    """A transaction needs what a blob says, and nobody has read it."""

    def __init__(self, blob: str) -> None:
        self.blob = blob
        super().__init__(t(words.BLOB_NOT_READ, blob=blob))


@dataclass(frozen=True)
class BundleSays:
    """A bundle's id, the blobs of its pictures, and whether an owner has to publish it."""

    id: str
    pictures: tuple[str, ...]
    wants_an_owner: bool


@dataclass(frozen=True)
class _Says:
    value: str | None = None
    bundle: BundleSays | None = None


class BlobFacts:
    """
    What was read of blobs, for one transaction and those it is begun anew as.

    `reads_late`: what nobody has read is read when it is asked for. For a transaction that makes
    all views anew: it would be long to begin again, and what is lacking then was mostly erased, and
    is not there to be read.
    """

    def __init__(self, blobs: Blobs, *, reads_late: bool = False) -> None:
        self._blobs, self._reads_late = blobs, reads_late
        self._read: dict[str, _Says] = {}

    def value(self, blob: str) -> str | None:
        """
        Return the text of a private value, or None if the blob is none.

        Raises:
            NotRead: If nobody has read it.
        """
        return self._of(blob).value

    def bundle(self, blob: str) -> BundleSays | None:
        """
        Return what a bundle says, or None if the blob is none.

        Raises:
            NotRead: If nobody has read it.
        """
        return self._of(blob).bundle

    def note_value(self, blob: str, text: str) -> None:
        """Take in a private value that came with the entries."""
        self._read[blob] = _Says(value=text)

    def read_named(self, entries: Iterable[Entry]) -> None:
        """
        Read what entries are going to have the views tell. What is not here is no fact yet: it may
        come in before the transaction does.
        """
        self._read_all(blob for one in entries for blob in _named(one.kind, one.body))

    def _read_all(self, blobs: Iterable[str]) -> None:
        new = list(dict.fromkeys(blob for blob in blobs if blob not in self._read))
        for blob, data in self._blobs.read_each(new, MOST_BYTES):
            if data is not None or self._blobs.has(blob):
                self._take_in(blob, data)

    @classmethod
    def of_all(cls, blobs: Blobs, database: Database) -> "BlobFacts":
        """Read what the entries of a whole ledger name, for views that are made anew."""
        facts = cls(blobs, reads_late=True)
        with database.read() as db:
            named = (blob for (text,) in db.each(_NAMING) for blob in _named_in(text))
            while some := list(islice(named, AT_ONCE)):
                facts._read_all(some)
        return facts

    def read(self, blob: str) -> None:
        """Read a blob, and check what it says. One that is missing or damaged says nothing."""
        self._take_in(blob, self._blobs.read(blob, MOST_BYTES))

    def _take_in(self, blob: str, data: bytes | None) -> None:
        if data is not None and len(data) <= private.MAX_BYTES:
            value = private_value(data)
            if value is not None:
                self._read[blob] = _Says(value=value)
                return
        said = bundle_of(data)
        self._read[blob] = _Says(bundle=None if said is None else _told(said))

    def supply(self, transaction: Callable[[], T]) -> T:
        """Run a transaction, anew for each blob that it turns out to need."""
        while True:
            try:
                return transaction()
            except NotRead as lacking:
                self.read(lacking.blob)  # once read, it is not lacking again: this comes to an end

    def _of(self, blob: str) -> _Says:
        if blob not in self._read:
            if not self._reads_late:
                raise NotRead(blob)
            self.read(blob)
        return self._read[blob]


def _told(said: shape.Bundle | shape.Outline) -> BundleSays:
    pictures = tuple(asset["blob"] for asset in said["assets"])
    # An outline is of a form that nobody works by here, and says nothing of rules.
    wants = "rules" in said and wants_an_owner(cast("shape.Bundle", said))
    return BundleSays(said["id"], pictures, wants)


def _named(kind: str, body: Mapping[str, Any]) -> tuple[str, ...]:
    if kind in ("job.opened", "enquiry.taken"):
        return tuple(body[name]["blob"] for name in ("vin", "plate") if name in body)
    return (body["bundle"],) if kind == "bundle.published" else ()


def _named_in(record: str) -> tuple[str, ...]:
    """Return what a record names that nobody has judged: a damaged one is told of in its turn."""
    with suppress(ValueError, LookupError, TypeError):
        said = json.loads(record.split(" ", 3)[3])
        return _named(said["kind"], said["body"])
    return ()


_NAMING = """
select record from records
where record like '%"kind":"job.opened"%' or record like '%"kind":"bundle.published"%'
    or record like '%"kind":"enquiry.taken"%'
"""
