"""A workshop's data folder, opened: the parts of the store put together."""

import secrets
from datetime import datetime
from pathlib import Path
from typing import Any

from twoturns.ledger import canonical, private
from twoturns.ledger.bodies import EDITION, check_body
from twoturns.ledger.keys import SigningKey
from twoturns.ledger.roster import Roster
from twoturns.store import book, files, projector, sessions
from twoturns.store.blob_checks import Checks
from twoturns.store.blob_facts import BlobFacts
from twoturns.store.blobs import Blobs
from twoturns.store.check import look_over
from twoturns.store.database import Database, run_script
from twoturns.store.draft_checks import DraftChecks
from twoturns.store.drafts import Drafts
from twoturns.store.erasing import Erasing
from twoturns.store.errors import NotAWorkshop
from twoturns.store.intake import Intake
from twoturns.store.keyring import KEY_FILE, KeyFile, Keyring
from twoturns.store.ledger import Ledger
from twoturns.store.newest_checkpoint import Newest
from twoturns.store.pages import Pages
from twoturns.store.rebuild import Progress, rebuild_views, renew_views, sign_views
from twoturns.store.sessions import Sessions
from twoturns.store.stored import stored
from twoturns.store.succession import take_up
from twoturns.store.thumbnails import Thumbnails
from twoturns.store.transactions import Transactions
from twoturns.store.turns import Turns
from twoturns.store.uploads import Uploads
from twoturns.store.views import Views
from twoturns.words import t
from twoturns.words.en.store import store as words

FLOOR_BYTES = 256 * 2**20
DATABASE_FILE = "ledger.db"
LOCK_FILE = "views.lock"


def new_folder(folder: Path) -> None:
    """
    Make the folder of a workshop, for its owner's eyes alone.

    Raises:
        NotAWorkshop: If something is in it.
    """
    folder.mkdir(parents=True, exist_ok=True)
    if any(folder.iterdir()):
        raise NotAWorkshop(
            t(words.NOT_EMPTY, folder=str(folder)),
            hint=t(words.NOT_EMPTY_HINT),
        )
    folder.chmod(0o700)


class Store:
    """
    A workshop on disk. Every process and thread may have one; SQLite keeps them apart.

    Raises:
        NotAWorkshop: If the folder is none, or only a newer program knows it.
        WrongKey: If its key is missing, or does not sign for it; unless none is needed.
        RecordsLost: If the ledger is smaller than it was.
        Damaged: If the records are not those that were signed for, as far as a start looks.

    `progress` hears how far that is.
    """

    def __init__(
        self,
        folder: Path,
        *,
        floor_bytes: int = FLOOR_BYTES,
        needs_key: bool = True,
        progress: Progress = lambda *_: None,
    ) -> None:
        if not (folder / DATABASE_FILE).is_file():
            raise NotAWorkshop(
                t(words.HOLDS_NO_WORKSHOP, folder=str(folder)),
                hint=t(words.HOLDS_NO_WORKSHOP_HINT),
            )
        folder = folder.resolve()  # the web would look for a relative one beside the app
        self.folder = folder
        self.database = Database(folder / DATABASE_FILE)
        if not self.database.has_table("records"):
            raise NotAWorkshop(
                t(words.HALF_MADE, folder=str(folder)),
                hint=t(words.HALF_MADE_HINT),
            )
        self.checks = Checks(folder / "blob-checks.db")
        self.blobs = Blobs(folder / "blobs", self.checks)
        self.thumbnails = Thumbnails(self.blobs)
        self.uploads = Uploads(folder / "uploads", self.blobs, floor_bytes)
        self.drafts = Drafts(folder, floor_bytes)
        self.draft_checks = DraftChecks(folder)
        self.views = Views(self.database)
        self.keyring = Keyring(folder)
        workshop = self._workshop()
        turns = Turns()
        self.transactions = Transactions(
            self.database, self.keyring, Newest(folder), workshop, turns
        )
        self.erasing = Erasing(
            self.database, self.transactions, self.blobs, self.uploads, self.views
        )
        self.ledger = Ledger(
            self.database,
            self.transactions,
            self.keyring,
            self.erasing,
            Intake(workshop, self.blobs, self.views, turns),
            self.blobs,
            self.views,
            workshop,
        )
        self.pages = Pages(self.database, self.keyring, workshop)
        # All processes have the key, and a nonce that one made is brought to another.
        self._require_known_rules()
        renew_views(self.database, folder / LOCK_FILE, workshop, self.blobs, progress)
        self.sessions = Sessions(self.database, lambda: self.ledger.signer().seed)
        self.transactions.check_newest()
        if needs_key:
            take_up(self)

    @classmethod
    def create(
        cls, folder: Path, name: str, now: datetime, *, recovery: str | None = None
    ) -> "Store":
        """
        Make a workshop: its folder, its key, its first record.

        `recovery` is the thumbprint of a recovery key, which is for paper alone.

        Raises:
            NotAWorkshop: If the folder holds something already.
            LedgerError: If the name is not 1 to 200 characters, or no well-formed text.
        """
        key = SigningKey.generate()
        said: dict[str, Any] = {"key": key.key, "name": name, "edition": EDITION}
        said |= {} if recovery is None else {"recovery": recovery}
        canonical.dumps(said)
        check_body("workshop.keyed", said)  # before anything of it is on the disk
        new_folder(folder)
        files.write_new(folder / KEY_FILE, KeyFile(key).text, mode=0o600)
        Blobs.create(folder / "blobs")
        (folder / "uploads").mkdir()
        files.sync_folder(folder)
        database = Database(folder / DATABASE_FILE)
        with database.write() as db:
            # One transaction: a ledger without its first record would be nobody's.
            for schema in (book.SCHEMA, sessions.SCHEMA, projector.SCHEMA):
                run_script(db, schema)
            sign_views(db)
            facts = BlobFacts(Blobs(folder / "blobs"))
            roster = Roster(key.thumbprint)
            with book.Book(db, roster=roster, facts=facts, key=key, received=now) as first:
                first.state("workshop.keyed", said)
        database.close()
        return cls(folder)

    @property
    def name(self) -> str:
        """The workshop's name, as its newest key was introduced."""
        row = self.database.row(_NAMED)
        assert row is not None  # noqa: S101 - the first record says it
        return str(stored(row["index"], row["record"]).entry.body["name"])

    def _workshop(self) -> str:
        first = self.database.row('select record from records where "index" = 0')
        assert first is not None  # noqa: S101 - a workshop is made with it
        return stored(0, first["record"]).entry.workshop

    def _require_known_rules(self) -> None:
        """An older program would let in whom the rules of a newer one keep out."""
        rows = self.database.rows(_BEGAN)
        began = [stored(row["index"], row["record"]).entry.wire_body for row in rows]
        edition = max((said.get("edition", 1) for said in began), default=1)
        if edition > EDITION:
            raise NotAWorkshop(
                t(
                    words.UNKNOWN_EDITION,
                    folder=str(self.folder),
                    edition=edition,
                    known=EDITION,
                ),
                hint="Update the program. The folder is as it was.",
            )

    def name_person(self, person: str, name: str, now: datetime) -> None:
        """Name a person: the name itself is a private value, which can be erased."""
        blob = self.blobs.put(private.write("name", name, secrets.token_bytes(16)))
        self.ledger.keep([blob], now)
        self.ledger.state("person.named", {"person": person, "name": {"blob": blob}}, now)

    def tidy(self) -> None:
        """Carry out what a killed process or an old backup left undone: erasures, halves."""
        for blob in self.views.erased():
            self.blobs.erase(blob)
            self.uploads.forget(blob)
        self.database.forget_the_past()
        self.blobs.sweep()
        self.uploads.sweep()

    def look_over(self) -> None:
        """
        Look at the newest thousand records, and a thousand by chance, before they are served.

        Raises:
            Damaged: If one of them is not what it was.
        """
        with self.database.read() as db:
            look_over(db)

    def rebuild(self, progress: Progress = lambda *_: None) -> list[str]:
        """
        Drop every view and compute it anew from the records and the blobs, in one transaction.

        Returns the blobs that are kept by the ledger and missing on the disk.

        Raises:
            Damaged: If a record does not match the tree. Nothing is changed then.
        """
        facts = BlobFacts.of_all(self.blobs, self.database)
        with self.database.write() as db:
            rebuild_views(db, self.ledger.workshop, facts, progress)
        self.tidy()
        missing = [blob for blob in self.views.kept() if not self.blobs.has(blob)]
        for blob in missing:
            self.blobs.check(blob)  # noted: so that it is told, and asked back of the phones
        return missing


_BEGAN = """
select "index", record from entries join records using ("index")
where "index" = 0 or (kind = 'rules.began' and job is null)
"""
_NAMED = """
select "index", record from entries join records using ("index")
where kind = 'workshop.keyed' and job is null and device =
    (select device from devices where role = 'console' and revoked_at is null)
"""
