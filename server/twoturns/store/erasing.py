"""
Erasing: orders carried out, and bytes removed once the ledger says that they are erased.

The statement is on the disk before the bytes go: who dies in between finds it, and removes them at
the next start (`Store.tidy`). What stands, hides and is due is `erasures`.
"""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime

from twoturns.ledger.entry import Entry
from twoturns.ledger.erasure import Rule, Ruled
from twoturns.store import erasures
from twoturns.store.blob_facts import BlobFacts
from twoturns.store.blobs import Blobs
from twoturns.store.errors import PhotosAway
from twoturns.store.port import Database
from twoturns.store.times import as_text
from twoturns.store.transactions import Transactions
from twoturns.store.uploads import Uploads
from twoturns.store.views import Views


class Erasing:
    """Orders to erase, and what carrying them out takes."""

    def __init__(
        self,
        database: Database,
        transactions: Transactions,
        blobs: Blobs,
        uploads: Uploads,
        views: Views,
    ) -> None:
        self._database, self._transactions = database, transactions
        self._blobs, self._uploads, self._views = blobs, uploads, views
        self._is_behind = False  # bytes are here that the ledger says are erased

    def carry_out_orders(self, now: datetime) -> int:
        """
        Erase what orders that are due name, and return how many blobs that were.

        May be asked as often as one likes, by whatever process: what is due is looked up in the
        transaction that states it.
        """
        if self._is_behind:
            self.catch_up()
        with self._database.read() as db:
            if not erasures.due(db, as_text(now)):
                return 0
        facts = BlobFacts(self._blobs)
        said = self._transactions.run(lambda book: book.carry_out_orders(), facts, now)
        self.remove_erased(said)
        return len(said)

    def remove_erased(self, said: Sequence[Entry], put: Sequence[str] = ()) -> None:
        """
        Remove the bytes that entries say are erased, now that they are on the disk.

        `put` was written meanwhile: it may have been erased after it was looked for.
        """
        named = [one.body["blob"] for one in said if one.kind == "blob.erased"]
        erased = [blob for blob in (*named, *put) if self._views.is_erased(blob)]
        if erased:
            self._remove(erased)
            self._database.forget_the_past()

    def catch_up(self) -> None:
        """
        Remove what a killed process, an old backup, or a store that was away left of what is
        erased. While that is away still, it is done with the next orders.
        """
        erased = self._views.erased()
        with self._now_or_later():
            self._blobs.erase_again(erased)
            self._uploads.forget(erased)
            self._uploads.sweep()

    def _remove(self, erased: Sequence[str]) -> None:
        with self._now_or_later():
            for blob in erased:
                self._blobs.erase(blob)
            self._uploads.forget(erased)

    @contextmanager
    def _now_or_later(self) -> Iterator[None]:
        """What is stated hides the bytes from everybody; that they are gone may come later."""
        try:
            yield
        except PhotosAway:
            self._is_behind = True
        else:
            self._is_behind = False

    def orders(self) -> list[erasures.Told]:
        """Return every order to erase, the newest first."""
        with self._database.read() as db:
            return erasures.orders(db)

    def rules(self, now: datetime) -> tuple[Rule, list[tuple[str, Ruled]]]:
        """Return the rule that holds, and all that were stated, by their entries."""
        with self._database.read() as db:
            return erasures.rule_at(db, as_text(now)), erasures.rules(db)

    def is_second_voice(self, device: str, now: datetime) -> bool:
        """Say whether an enrolled device may hasten what another owner ordered."""
        with self._database.read() as db:
            known = self._transactions.roster_now().device(device)
            return known is not None and erasures.is_second_voice(db, known, as_text(now))
