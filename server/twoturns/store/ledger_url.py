"""
Where a workshop's ledger lies: in its folder (SQLite's `ledger.db`), or on a PostgreSQL server.

The folder says which, in `ledger.url`: `postgresql://USER@HOST/DATABASE?schema=NAME`, as libpq has
such addresses, with the workshop's schema beside. No password stands there: it comes with
`TWOTURNS_LEDGER`, or from where libpq looks for it. Once a workshop is made, that variable says
no more than how its server is reached: which workshop is opened is the folder's to say.
"""

import hashlib
import os
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Final
from urllib.parse import parse_qsl, urlencode, urlsplit, urlunsplit

from twoturns.store import database, files, photos_at
from twoturns.store.errors import NotAWorkshop, StoreError
from twoturns.store.port import Database
from twoturns.words import t
from twoturns.words.en.store import ledger_url as words

if TYPE_CHECKING:
    from twoturns.store import postgres

VARIABLE: Final = "TWOTURNS_LEDGER"
DATABASE_FILE: Final = "ledger.db"
URL_FILE: Final = "ledger.url"
EMBEDDED: Final = "sqlite:"
_SECRETS: Final = ("password", "sslpassword")
_SCHEMES: Final = ("postgresql", "postgres")
# None of the server's own (PostgreSQL 15, "CREATE ROLE": reserved names).
_NAME: Final = re.compile(r"(?!pg_|(?:public|none)\Z)[a-z][a-z0-9_]{0,62}")


@dataclass(frozen=True)
class Place:
    """A server as libpq reaches it, and a workshop's schema there; none was named: empty."""

    server: str
    schema: str
    named_by: str = field(default="", compare=False)  # the file or the setting, to be told

    @property
    def without_password(self) -> str:
        """Return the address to be kept in the folder."""
        scheme, netloc, path, query, _ = urlsplit(self.server)
        user, at, hosts = netloc.rpartition("@")
        said = [(name, value) for name, value in parse_qsl(query) if name not in _SECRETS]
        said.append(("schema", self.schema))
        return urlunsplit((scheme, user.split(":")[0] + at + hosts, path, urlencode(said), ""))


def read(url: str, named_by: str = "") -> Place | None:
    """
    Read an address; None is the embedded ledger, in the workshop's folder.

    Args:
        url: The address.
        named_by: The file or the setting that has it, to be told.

    Raises:
        StoreError: `bad-ledger-url`.
    """
    if url == EMBEDDED:
        return None
    try:
        scheme, netloc, path, query, fragment = urlsplit(url)
    except ValueError:  # a bracket that is not closed
        scheme = netloc = path = query = fragment = ""
    said = parse_qsl(query)
    schema = dict(said).get("schema", "")
    if scheme not in _SCHEMES or fragment or (schema and not _NAME.fullmatch(schema)):
        raise _refused(_of(t(words.BAD_URL, url=_shown(url)), named_by), t(words.BAD_URL_HINT))
    others = urlencode([(name, value) for name, value in said if name != "schema"])
    return Place(urlunsplit((scheme, netloc, path, others, "")), schema, named_by)


def place_of(folder: Path, url: str | None = None) -> Place | None:
    """
    Return where the ledger of a workshop's folder lies; None: in the folder.

    Args:
        folder: The workshop's folder.
        url: How its server is reached; None: as the environment says.

    Raises:
        StoreError: `bad-ledger-url`, `other-ledger`.
    """
    given = url or os.environ.get(VARIABLE, "")
    asked = read(given, _asked() if url else VARIABLE) if given else None
    held = said_in(folder)
    if held is None:
        if asked is not None and (folder / DATABASE_FILE).is_file():
            raise _other(folder, EMBEDDED)
        return None
    if not given:
        return held
    if asked is None or asked.schema not in ("", held.schema):
        raise _other(folder, held.without_password)
    return Place(asked.server, held.schema, asked.named_by)


def said_in(folder: Path) -> Place | None:
    """Return where the folder alone says that its ledger lies; None: in the folder."""
    path = folder / URL_FILE
    if not path.is_file():
        return None
    held = read(path.read_text(errors="replace").strip(), str(path))
    if held is not None and not held.schema:
        raise _refused(_of(t(words.NO_SCHEMA), str(path)), t(words.BAD_URL_HINT))
    return held


def note(folder: Path, place: Place | None) -> None:
    """Have the folder say, durably, where its ledger lies from now on."""
    if place is None:
        (folder / URL_FILE).unlink(missing_ok=True)
        files.sync_folder(folder)
    else:
        files.write_anew(folder / URL_FILE, f"{place.without_password}\n".encode(), mode=0o600)


def is_there(folder: Path) -> bool:
    """Say whether a folder is a workshop's, as far as its files say."""
    return (folder / DATABASE_FILE).is_file() or (folder / URL_FILE).is_file()


def open_ledger(folder: Path, url: str | None = None) -> Database:
    """Open the ledger of a workshop's folder, whatever it holds by now; as `place_of`."""
    return opened(folder, place_of(folder, url))


def opened(folder: Path, place: Place | None, *, is_moving: bool = False) -> Database:
    """Open a ledger at its place, whatever it holds by now. `is_moving`: to move the workshop."""
    if place is None:
        return database.Database(folder / DATABASE_FILE)
    photos = None if is_moving else photos_at.said_in(folder)
    with _told_of(place):
        return _postgres()(place.server, place.schema, photos)


def prepared(folder: Path, place: Place | None, *, is_moving: bool = False) -> Database:
    """
    Open an empty ledger at a place; as `opened`.

    Raises:
        NotAWorkshop: If there is a workshop already.
    """
    if place is None:
        return opened(folder, None)
    photos = None if is_moving else photos_at.OWN
    with _told_of(place):
        return _postgres().prepare(place.server, place.schema, photos)


def require_unclaimed(ledger: Database) -> None:
    """
    See, in the transaction that makes a workshop, that nobody made one there meanwhile.

    Raises:
        NotAWorkshop: If somebody did.
    """
    if ledger.has_table("records"):
        raise NotAWorkshop(t(words.MADE_MEANWHILE), hint=t(words.MADE_MEANWHILE_HINT))


@contextmanager
def _told_of(place: Place) -> Iterator[None]:
    """Have it said which file or setting names an address that cannot be taken."""
    try:
        yield
    except StoreError as error:
        if error.code != "bad-ledger-url":
            raise
        raise _refused(_of(str(error), place.named_by), error.hint) from error


def place_named(folder: Path, url: str) -> Place | None:
    """As `read`, for a workshop's folder: where the address names no schema the folder does."""
    place = read(url, _asked())
    if place is None:
        return None
    schema = place.schema or schema_for(folder.resolve().name)
    return Place(place.server, schema, place.named_by)


def begin(folder: Path, url: str | None = None) -> Database:
    """
    Open an empty ledger for a workshop's new folder, and note there where it lies.

    Args:
        folder: The folder, which is there.
        url: Where to; None: as the environment says, or in the folder. Where it names no schema the
            folder's name does.

    Raises:
        NotAWorkshop: If there is a workshop already.
        StoreError: `bad-ledger-url`, `no-driver`.
    """
    place = place_named(folder, url or os.environ.get(VARIABLE) or EMBEDDED)
    made = prepared(folder, place)
    if place is not None:
        note(folder, place)
    return made


def _postgres() -> "type[postgres.Database]":
    """Load what speaks to PostgreSQL: an extra, and slow to load."""
    try:
        from twoturns.store import postgres  # noqa: PLC0415 - as said
    except ImportError as error:
        hint = t(words.NO_DRIVER_HINT)
        raise StoreError(t(words.NO_DRIVER), code="no-driver", hint=hint) from error
    return postgres.Database


def schema_for(name: str) -> str:
    """
    Return a schema's name for a workshop's.

    >>> schema_for("north")
    'twoturns_north'
    >>> schema_for("north.example")
    'twoturns_north_example_176e0584'
    """
    plain = re.sub("[^a-z0-9]", "_", name.lower())[:40]
    hashed = hashlib.sha256(name.encode()).hexdigest()[:8]
    return f"twoturns_{plain}" if plain == name else f"twoturns_{plain}_{hashed}"


def _shown(url: str) -> str:
    """Return an address as it may be told: without its password."""
    return re.sub(
        r"(?<=//)([^:@/]*):.*@", r"\1:...@", re.sub(r"password=[^&]*", "password=...", url)
    )


def _other(folder: Path, held: str) -> StoreError:
    fact = t(words.OTHER_LEDGER, folder=str(folder), held=held)
    return StoreError(fact, code="other-ledger", hint=t(words.OTHER_LEDGER_HINT, variable=VARIABLE))


def _asked() -> str:
    return t(words.ASKED, variable=VARIABLE)


def _of(fact: str, named_by: str) -> str:
    return t(words.NAMED_BY, fact=fact, named_by=named_by) if named_by else fact


def _refused(fact: str, hint: str) -> StoreError:
    return StoreError(fact, code="bad-ledger-url", hint=hint)
