"""
Who is signed in. Neither truth nor view: losing these rows costs everyone one signature.

A nonce serves once, and only the device it was made for. A token is stored hashed, so that a
copy of the file lets nobody in.
"""

import hashlib
import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta

from twoturns.store.database import Database
from twoturns.store.times import as_text

SCHEMA = """
create table if not exists nonces (
    nonce text primary key, device text not null, until text not null) strict;
create table if not exists sessions (
    token_sha256 text primary key, device text not null, until text not null) strict;
create index if not exists sessions_device on sessions(device);
"""
NONCE_LIFE = timedelta(minutes=5)
SESSION_LIFE = timedelta(hours=12)
NONCES_A_DEVICE = 32


@dataclass(frozen=True)
class Session:
    """A signed-in device."""

    device: str
    until: str


class Sessions:
    """Nonces and session tokens. Times are given by the caller."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def nonce(self, device: str, now: datetime) -> str:
        """Return a fresh nonce for a device; the oldest go when it holds too many."""
        nonce = secrets.token_urlsafe(32)
        with self._database.write() as db:
            db.execute("delete from nonces where until < ?", [as_text(now)])
            db.execute(
                "insert into nonces values (?, ?, ?)", [nonce, device, as_text(now + NONCE_LIFE)]
            )
            db.execute(
                "delete from nonces where device = ?1 and nonce not in (select nonce from nonces"
                " where device = ?1 order by until desc, rowid desc limit ?2)",
                [device, NONCES_A_DEVICE],
            )
        return nonce

    def spend(self, nonce: str, device: str, now: datetime) -> bool:
        """Use a nonce up. False if it is unknown, another device's, or too old."""
        with self._database.write() as db:
            spent = db.execute(
                "delete from nonces where nonce = ? and device = ? and until >= ?",
                [nonce, device, as_text(now)],
            )
            return spent.rowcount == 1

    def start(self, device: str, now: datetime) -> tuple[str, Session]:
        """Sign a device in: its token, which is told once, and the session."""
        token = secrets.token_urlsafe(32)
        session = Session(device, as_text(now + SESSION_LIFE))
        with self._database.write() as db:
            db.execute("delete from sessions where until < ?", [as_text(now)])
            db.execute(
                "insert into sessions values (?, ?, ?)", [_hash(token), device, session.until]
            )
        return token, session

    def find(self, token: str, now: datetime) -> Session | None:
        """Return the session of a token, or None if there is none or its time is over."""
        row = self._database.row(
            "select device, until from sessions where token_sha256 = ? and until >= ?",
            [_hash(token), as_text(now)],
        )
        return None if row is None else Session(**row)

    def end(self, token: str) -> None:
        """Sign out."""
        with self._database.write() as db:
            db.execute("delete from sessions where token_sha256 = ?", [_hash(token)])


def _hash(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()
