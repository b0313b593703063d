"""
What a batch brings, read before the transaction: lines whose signatures hold, private values.

Refused are only bytes that are no evidence: not canonical, wrongly signed, of another workshop, or
saying what no kind says. What only the ledger as it stands can refuse, the book does (`admit`).
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from twoturns.ledger import entry, private
from twoturns.ledger.entry import Entry
from twoturns.ledger.errors import LedgerError
from twoturns.store.blob_facts import BlobFacts
from twoturns.store.blobs import Blobs
from twoturns.store.errors import LineRefused
from twoturns.store.turns import Turns
from twoturns.store.views import Views
from twoturns.words import t
from twoturns.words.en.store import intake as words

Refusal = dict[str, Any]  # `code`, `message`, `hint`; `line` or `blob`: its place; `id`


class Line(NamedTuple):
    """An entry, its place in the batch, and whether its signature was checked already."""

    place: int
    said: Entry
    is_verified: bool


@dataclass(frozen=True)
class Batch:
    """What is left of a batch. `values`: private values that are durable now, and their sizes."""

    lines: list[Line]
    values: dict[str, int]
    facts: BlobFacts
    refused: list[Refusal] = field(default_factory=list)


class Intake:
    """Reads what phones send to one workshop."""

    def __init__(self, workshop: str, blobs: Blobs, views: Views, turns: Turns) -> None:
        self._workshop, self._blobs, self._views = workshop, blobs, views
        self._turns = turns

    def read(self, lines: Sequence[str], private_values: Sequence[str]) -> Batch:
        """Write the private values durably, check the lines, and read what they name."""
        batch = Batch([], {}, BlobFacts(self._blobs))
        self._take_values(batch, private_values)
        with self._turns.reading() as give_way:
            for line in self._readable(lines, batch.refused):
                batch.lines.append(line)
                give_way()
        batch.facts.read_named(one.said for one in batch.lines)
        return batch

    def _take_values(self, batch: Batch, texts: Sequence[str]) -> None:
        """Write private values; each counts as kept only once the ledger says so."""
        read: list[tuple[bytes, str]] = []
        for place, text in enumerate(texts):
            try:
                data = text.encode("utf-8", "surrogatepass")
                value = private.read(data)
                if self._views.is_erased(private.blob_id(data)):
                    raise LineRefused("blob-erased", t(words.BYTES_ERASED))
            except (LedgerError, LineRefused) as why:
                batch.refused.append(refusal(why, blob=place))
            else:
                read.append((data, value.value))
        blobs = self._blobs.put_all([data for data, _ in read])
        for blob, (data, value_text) in zip(blobs, read, strict=True):
            batch.values[blob] = len(data)
            batch.facts.note_value(blob, value_text)

    def _readable(self, lines: Sequence[str], refused: list[Refusal]) -> Iterator[Line]:
        """Yield the lines that are entries of this workshop."""
        keys: dict[str, str | None] = {}
        for place, line in enumerate(lines):
            said = None
            try:
                said = entry.parse(line)
                self.require_ours(said)
                if said.device not in keys:
                    device = self._views.device(said.device)
                    keys[said.device] = device.key if device else None
                key = keys[said.device]
                if key is not None and not entry.verify(said, key):
                    raise LineRefused(
                        "wrong-signature", t(words.WRONG_SIGNATURE, device=said.device[:12])
                    )
            except (LedgerError, LineRefused) as why:
                known = {} if said is None else {"id": said.id}
                refused.append(refusal(why, line=place, **known))
            else:
                yield Line(place, said, key is not None)

    def require_ours(self, said: Entry) -> None:
        """
        Check that an entry is of this workshop.

        Raises:
            LineRefused: `foreign-workshop`.
        """
        if said.workshop != self._workshop:
            raise LineRefused(
                "foreign-workshop", t(words.FOREIGN_WORKSHOP, workshop=said.workshop[:12])
            )


def refusal(why: LedgerError | LineRefused, **known: int | str) -> Refusal:
    """Return a refusal as the batch's answer tells it; `known` says what is refused."""
    return {**known, "code": why.code, "message": str(why), "hint": why.hint}
