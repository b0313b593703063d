"""A workshop's data folder, opened: the parts of the store put together."""

import secrets
import shutil
from datetime import datetime
from pathlib import Path
from typing import Any

from twoturns.ledger import canonical, private
from twoturns.ledger.bodies import EDITION, check_body
from twoturns.ledger.keys import SigningKey
from twoturns.ledger.roster import Roster
from twoturns.store import book, files, ledger_url, projector, sessions
from twoturns.store.allowances import Allowances
from twoturns.store.blob_checks import Checks
from twoturns.store.blob_facts import BlobFacts
from twoturns.store.check import look_over
from twoturns.store.draft_checks import DraftChecks
from twoturns.store.drafts import Drafts
from twoturns.store.erasing import Erasing
from twoturns.store.errors import NotAWorkshop, StoreError
from twoturns.store.ids import Ids
from twoturns.store.intake import Intake
from twoturns.store.keyring import KEY_FILE, KeyFile, Keyring
from twoturns.store.ledger import Ledger
from twoturns.store.newest_checkpoint import Newest
from twoturns.store.pages import Pages
from twoturns.store.photos_at import make_photos, open_photos
from twoturns.store.port import run_script
from twoturns.store.rebuild import Progress, rebuild_views, renew_views, sign_views
from twoturns.store.sessions import Sessions
from twoturns.store.stored import stored
from twoturns.store.succession import take_up
from twoturns.store.thumbnails import Thumbnails
from twoturns.store.transactions import Transactions
from twoturns.store.turns import Turns
from twoturns.store.views import Views
from twoturns.words import t
from twoturns.words.en.store import store as words

FLOOR_BYTES = 256 * 2**20
OPEN_FILE = "open.lock"


def new_folder(folder: Path) -> None:
    """
    Make the folder of a workshop, for its owner's eyes alone.

    Raises:
        NotAWorkshop: If something is in it.
    """
    folder.mkdir(parents=True, exist_ok=True)
    if any(folder.iterdir()):
        raise _not_empty(folder)
    folder.chmod(0o700)


def empty_folder(folder: Path) -> None:
    """Take back what was made in a folder that `new_folder` found empty."""
    for one in folder.iterdir():
        if one.is_dir():
            shutil.rmtree(one)
        else:
            one.unlink()
    files.sync_folder(folder)


def _not_empty(folder: Path) -> NotAWorkshop:
    return NotAWorkshop(t(words.NOT_EMPTY, folder=str(folder)), hint=t(words.NOT_EMPTY_HINT))


def at_work_in(folder: Path) -> files.AtWork:
    """
    Say in a workshop's folder that it is open, for as long as what is returned is held.

    Raises:
        StoreError: `being-moved`.
    """
    try:
        return files.AtWork(folder / OPEN_FILE)
    except BlockingIOError:
        raise StoreError(
            t(words.BEING_MOVED, folder=str(folder)),
            code="being-moved",
            hint=t(words.BEING_MOVED_HINT),
        ) from None


class Store:
    """
    A workshop on disk. Every process and thread may have one; SQLite keeps them apart.

    Raises:
        NotAWorkshop: If the folder is none, or only a newer program knows it.
        StoreError: `being-moved`.
        WrongKey: If its key is missing, or does not sign for it; unless none is needed.
        RecordsLost: If the ledger is smaller than it was.
        Damaged: If the records are not those that were signed for, as far as a start looks.

    `ledger` says how its server is reached (`ledger_url`); None: as the environment does.
    `progress` hears how far that is.
    """

    def __init__(
        self,
        folder: Path,
        *,
        floor_bytes: int = FLOOR_BYTES,
        needs_key: bool = True,
        ledger: str | None = None,
        progress: Progress = lambda *_: None,
    ) -> None:
        if not ledger_url.is_there(folder):
            raise NotAWorkshop(
                t(words.HOLDS_NO_WORKSHOP, folder=str(folder)),
                hint=t(words.HOLDS_NO_WORKSHOP_HINT),
            )
        folder = folder.resolve()  # the web would look for a relative one beside the app
        self.folder = folder
        self._at_work = at_work_in(folder)
        try:
            self._open(ledger, floor_bytes, progress, needs_key=needs_key)
        except BaseException:
            self._at_work.end()  # whoever was told why may keep that, and this with it
            raise

    def _open(
        self, ledger: str | None, floor_bytes: int, progress: Progress, *, needs_key: bool
    ) -> None:
        folder = self.folder
        self.database = ledger_url.open_ledger(folder, ledger)
        if not self.database.has_table("records"):
            raise NotAWorkshop(
                t(words.HALF_MADE, folder=str(folder)),
                hint=t(words.HALF_MADE_HINT),
            )
        self.database.require_here()
        self.checks = Checks.beside(
            folder, self.database, lambda: ledger_url.open_ledger(folder, ledger)
        )
        workshop = self._workshop()
        self.blobs, self.uploads = open_photos(folder, self.checks, floor_bytes, workshop)
        self.thumbnails = Thumbnails(self.blobs)
        self.drafts = Drafts(folder, floor_bytes)
        self.draft_checks = DraftChecks(folder)
        self.views = Views(self.database)
        self.keyring = Keyring(folder)
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
        renew_views(self.database, workshop, self.blobs, progress)
        self.sessions = Sessions(self.database, lambda: self.ledger.signer().seed)
        self.allowances = Allowances(self.database)
        self.transactions.check_newest()
        if needs_key:
            take_up(self)

    @classmethod
    def create(
        cls,
        folder: Path,
        name: str,
        now: datetime,
        *,
        recovery: str | None = None,
        ledger: str | None = None,
        photos: str | None = None,
    ) -> "Store":
        """
        Make a workshop: its folder, its key, its first record.

        Args:
            folder: Where to.
            name: The workshop's name.
            now: The time, UTC.
            recovery: The thumbprint of a recovery key, which is for paper alone.
            ledger: Where the ledger shall lie (`ledger_url`); None: as the environment says.
            photos: Where the photos shall lie (`photos_at`); None: in the folder.

        Raises:
            NotAWorkshop: If the folder holds something already.
            PhotosElsewhere, PhotosAway: If the photos cannot be there.
            LedgerError: If the name is not 1 to 200 characters, or no well-formed text.
        """
        key = SigningKey.generate()
        said: dict[str, Any] = {"key": key.key, "name": name, "edition": EDITION}
        said |= {} if recovery is None else {"recovery": recovery}
        canonical.dumps(said)
        check_body("workshop.keyed", said)  # before anything of it is on the disk
        new_folder(folder)
        with files.alone(folder / OPEN_FILE) as is_alone:
            if not is_alone:
                raise _not_empty(folder)
            try:
                cls._make(folder, key, said, now, ledger, photos)
            except NotAWorkshop:
                empty_folder(folder)  # somebody else made one: nothing here may name it
                raise
        return cls(folder, ledger=ledger)

    @classmethod
    def _make(
        cls,
        folder: Path,
        key: SigningKey,
        said: dict[str, Any],
        now: datetime,
        ledger: str | None,
        photos: str | None,
    ) -> None:
        database = ledger_url.begin(folder, ledger)
        files.write_new(folder / KEY_FILE, KeyFile(key).text, mode=0o600)
        blobs = make_photos(folder, photos, key.thumbprint)
        files.sync_folder(folder)
        with database.write() as db:
            ledger_url.require_unclaimed(database)
            # One transaction: a ledger without its first record would be nobody's.
            for schema in (book.SCHEMA, sessions.SCHEMA, projector.SCHEMA):
                run_script(db, schema)
            sign_views(db)
            facts = BlobFacts(blobs)
            roster = Roster(key.thumbprint)
            with book.Book(
                db, roster=roster, facts=facts, key=key, received=now, ids=Ids()
            ) as first:
                first.state("workshop.keyed", said)
        database.close()

    def close(self) -> None:
        """Let go of the workshop: of what this thread holds of its ledger, and of the folder."""
        self.database.close()
        self._at_work.end()

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
        self.erasing.catch_up()
        self.database.forget_the_past()
        self.blobs.sweep()

    def let_go(self) -> None:
        """Close what this thread holds open. It is opened anew when it is needed."""
        self.database.close()
        self.checks.let_go()

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
        with self.database.write(is_long=True) as db:
            rebuild_views(db, self.ledger.workshop, facts, progress)
        self.tidy()
        missing = self.blobs.lacking(self.views.kept())
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
