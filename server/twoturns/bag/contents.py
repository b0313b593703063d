"""
A bag's contents as both its writer and its reader see them, so that a report is made one way.
"""

import io
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from twoturns.bag import layout
from twoturns.bag.evidence import Disclosure, Evidence
from twoturns.ledger import canonical, private
from twoturns.ledger.checkpoint import Checkpoint
from twoturns.ledger.errors import LedgerError
from twoturns.ledger.record import Record
from twoturns.ledger.roster import Roster
from twoturns.ledger.standing import Standing, standings
from twoturns.procedure import shape
from twoturns.words import t
from twoturns.words.en.bag import contents as words


@dataclass(frozen=True)
class Contents:
    """
    What a report is made of. `names` gives the file that shows a blob, `read` a file's bytes,
    `sized` how many there are.
    """

    job: str
    workshop: str
    records: tuple[tuple[int, Record], ...]
    checkpoint: Checkpoint
    bundle: shape.Bundle
    disclosures: Mapping[str, Disclosure]
    names: Mapping[str, str]
    read: Callable[[str], bytes]
    sized: Callable[[str], int]
    made_on: str
    is_whole: bool
    """Whether the workshop's head of the job stands behind it (`whole`)."""

    @cached_property
    def roster(self) -> Roster:
        """The roster as its records leave it."""
        return roster_of(self.workshop, self.records)

    @cached_property
    def standings(self) -> dict[str, Standing]:
        """
        The standing of each entry. Of the job's entries it is the ledger's own: for each of them
        the bag also holds the entry its device wrote before, and those of the same number.
        """
        return standings([(index, one.entry) for index, one in self.records], self.roster)

    @cached_property
    def of_job(self) -> tuple[tuple[int, Record], ...]:
        """The job's own records, each with its index."""
        return tuple((index, one) for index, one in self.records if one.entry.job == self.job)

    def shown(self, blob: str) -> bytes | None:
        """Return the bytes that show a blob, or None where they are not in the bag."""
        return self.read(self.names[blob]) if blob in self.names else None

    def size(self, blob: str) -> int:
        """Return how many bytes show a blob: 0 where it is not in the bag."""
        return self.sized(self.names[blob]) if blob in self.names else 0

    def said(self, blob: str) -> str:
        """Return a private value's text, or in brackets why it is not there."""
        data = self.shown(blob)
        if data is not None:
            try:
                return private.read(data).value
            except LedgerError:
                return t(words.NO_PRIVATE_VALUE)
        hidden = self.disclosures.get(blob)
        if hidden is None:
            return t(words.NOT_IN_BAG)
        return t(words.IN_ITS_PLACE, why=why_hidden(hidden))


def why_hidden(disclosure: Disclosure) -> str:
    """Return in words why a blob's bytes are not in the bag."""
    reason = disclosure.reason or ""
    return t(words.HIDDEN[disclosure.state], explained=bool(reason), reason=reason)


def of_evidence(evidence: Evidence) -> Contents:
    """Return the contents of a bag that is yet to be written."""

    def read(name: str) -> bytes:
        with evidence.files[name]() as stream:
            return stream.read()

    def sized(name: str) -> int:
        with evidence.files[name]() as stream:
            return stream.seek(0, io.SEEK_END)

    return Contents(
        job=evidence.job,
        workshop=evidence.workshop,
        records=evidence.records,
        checkpoint=evidence.head,
        bundle=canonical.loads(evidence.bundle),
        disclosures={one.blob: one for one in evidence.disclosures},
        names=by_blob(evidence.files),
        read=read,
        sized=sized,
        made_on=evidence.made_on,
        is_whole=True,
    )


def roster_of(workshop: str, records: Iterable[tuple[int, Record]]) -> Roster:
    """Return the roster that records make, in the order of the ledger."""
    roster = Roster(workshop)
    for index, one in records:
        roster.apply(index, one.entry)
    return roster


def by_blob(names: Iterable[str]) -> dict[str, str]:
    """Return the file that shows each blob; photos/ sorts after copies/, so an original wins."""
    found = ((layout.blob_of(name), name) for name in sorted(names))
    return {blob: name for blob, name in found if blob is not None}
