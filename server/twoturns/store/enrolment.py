"""Letting a device in that nobody knows yet."""

from dataclasses import dataclass
from datetime import datetime

from twoturns.ledger import entry
from twoturns.ledger.errors import EnrolmentRefused
from twoturns.ledger.receipt import Receipt
from twoturns.store.blob_facts import BlobFacts
from twoturns.store.book import Book
from twoturns.store.ledger import Place, place_of
from twoturns.store.store import Store
from twoturns.words import t
from twoturns.words.en.store import enrolment as words


@dataclass(frozen=True)
class Enrolled:
    """Where a device's enrolment stands, and the invitation it followed from."""

    enrolment: Place
    invitation: Place


def let_in(store: Store, line: str, received: datetime, receipt: Receipt | None = None) -> Enrolled:
    """
    Take a `device.enrolled`, and say where it stands. Sent again, it earns the same answer.

    With its receipt a device comes back that was in before the workshop was put back.

    Raises:
        LedgerError: If the line is not one, or follows neither from an open invitation nor
            from one that the receipt shows.
        LineRefused: `foreign-workshop`.
    """
    said = entry.parse(line)
    store.ledger.require_ours(said)
    if said.kind != "device.enrolled":
        raise EnrolmentRefused(
            t(words.NOT_ENROLMENT, wire_kind=said.wire_kind),
            hint=t(words.NOT_ENROLMENT_HINT),
        )

    def enter(book: Book) -> Enrolled:
        found = book.find(said.id) or book.let_in(said, receipt)
        invitation = book.find(said.body["invitation"])
        assert invitation is not None  # noqa: S101 - no enrolment enters without it
        head = book.checkpoint()
        return Enrolled(place_of(book.tree, *found, head), place_of(book.tree, *invitation, head))

    return store.transactions.run(enter, BlobFacts(store.blobs), received)
