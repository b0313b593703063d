"""
Who is signed in. Neither truth nor view: losing these rows costs everyone one signature.

A nonce serves once, and only the device it was made for. It is told from a guess by its MAC, so
making one costs the workshop no row, and nobody's asking for nonces takes another's away; a row is
written when one is used up, which takes the device's signature. A token is stored hashed, so that
a copy of the file lets nobody in.
"""

import hashlib
import hmac
import secrets
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from twoturns.ledger import base64url
from twoturns.ledger.errors import LedgerError
from twoturns.store import allowances, contacts
from twoturns.store.port import Database
from twoturns.store.times import as_text

SCHEMA = """
create table if not exists nonces (
    nonce text primary key, device text not null, until text not null) strict;
create table if not exists sessions (
    token_sha256 text primary key, device text not null, until text not null) strict;
create index if not exists sessions_device on sessions(device);
"""
SCHEMA += f"{contacts.TABLE}; {allowances.TABLE}"
NONCE_LIFE = timedelta(minutes=5)
SESSION_LIFE = timedelta(hours=12)
# Of machines that serve one workshop. Chosen: those set by a time server differ by less than a
# second, and one whose clock was years ahead is told from them.
CLOCKS_APART = timedelta(minutes=1)
UNTIL_BYTES, CHANCE_BYTES, MAC_BYTES = 6, 10, 16


@dataclass(frozen=True)
class Session:
    """A signed-in device."""

    device: str
    until: str


class Sessions:
    """Nonces and session tokens. Times are given by the caller; `secret` makes nonces ours."""

    def __init__(self, database: Database, secret: Callable[[], bytes]) -> None:
        self._database, self._secret = database, secret

    def nonce(self, device: str, now: datetime) -> str:
        """Return a fresh nonce for a device. Nothing is kept of it."""
        until_ms = int((now + NONCE_LIFE).timestamp() * 1000)
        said = until_ms.to_bytes(UNTIL_BYTES, "big") + secrets.token_bytes(CHANCE_BYTES)
        return base64url.encode(said + self._mac(said, device))

    def spend(self, nonce: str, device: str, now: datetime) -> bool:
        """
        Use a nonce up. False if it is not ours, another device's, too old, or was used before.

        To be asked once the device's signature over it holds: only then a row is written.
        """
        until = self._until(nonce, device)
        if until is None or not now <= until <= now + NONCE_LIFE + CLOCKS_APART:
            return False
        with self._database.write() as db:
            # Not sooner: by another machine's clock it may serve still, and would serve twice.
            db.execute("delete from nonces where until < ?", [as_text(now - CLOCKS_APART)])
            used = db.execute(
                "insert into nonces values (?, ?, ?) on conflict do nothing",
                [nonce, device, as_text(until)],
            )
            return used.rowcount == 1

    def _until(self, nonce: str, device: str) -> datetime | None:
        """Return when a nonce that was made here for this device is over."""
        try:
            data = base64url.decode(nonce, UNTIL_BYTES + CHANCE_BYTES + MAC_BYTES)
        except LedgerError:
            return None
        said, mac = data[:-MAC_BYTES], data[-MAC_BYTES:]
        if not hmac.compare_digest(mac, self._mac(said, device)):
            return None
        until_ms = int.from_bytes(said[:UNTIL_BYTES], "big")
        return datetime.fromtimestamp(until_ms / 1000, UTC)

    def _mac(self, said: bytes, device: str) -> bytes:
        message = b"two-turns nonce\n" + device.encode() + said
        return hmac.digest(self._secret(), message, "sha256")[:MAC_BYTES]

    def start(self, device: str, now: datetime) -> tuple[str, Session]:
        """Sign a device in: its token, which is told once, and the session."""
        token = secrets.token_urlsafe(32)
        session = Session(device, as_text(now + SESSION_LIFE))
        with self._database.write() as db:
            db.execute("delete from sessions where until < ?", [as_text(now)])
            db.execute(
                "insert into sessions values (?, ?, ?)", [_hash(token), device, session.until]
            )
            contacts.note(db, device, as_text(now))
        return token, session

    def find(self, token: str, now: datetime) -> Session | None:
        """Return the session of a token, or None if there is none or its time is over."""
        row = self._database.row(
            # One that ends later than any begun now was opened by a clock that was ahead.
            "select device, until from sessions where token_sha256 = ? and until between ? and ?",
            [_hash(token), as_text(now), as_text(now + SESSION_LIFE + CLOCKS_APART)],
        )
        return None if row is None else Session(**row)

    def end(self, token: str) -> None:
        """Sign out."""
        with self._database.write() as db:
            db.execute("delete from sessions where token_sha256 = ?", [_hash(token)])


def _hash(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()
