"""
The workshop's key file, and the right to sign with it.

`workshop.key` has the seed in hex, and below it, line by line, the statements that led from the
workshop's first key to this one: put beside an older backup, it says how it came to be.

A new key is written beside the old one, under a name of its own, before the ledger says that it
counts; when that is on the disk it takes the old one's place. Whoever finds the old one still
there, because the process died in between, puts the new one in its place (`signer`).
"""

import secrets
from dataclasses import dataclass
from pathlib import Path

from twoturns.ledger.errors import BadKey
from twoturns.ledger.keys import SigningKey
from twoturns.store import files
from twoturns.store.errors import WrongKey
from twoturns.store.port import Connection
from twoturns.words import t
from twoturns.words.en.store import keyring as words

KEY_FILE = "workshop.key"


@dataclass(frozen=True)
class KeyFile:
    """A key, and the lines that lead to it from the workshop's first."""

    key: SigningKey
    chain: tuple[str, ...] = ()

    @property
    def text(self) -> bytes:
        return "".join(f"{line}\n" for line in (self.key.seed.hex(), *self.chain)).encode()


class Keyring:
    """The key file of a data folder. Each process has its own, and trusts no earlier reading."""

    def __init__(self, folder: Path) -> None:
        self._path = folder / KEY_FILE
        self._held: SigningKey | None = None

    def signer(self, db: Connection) -> SigningKey:
        """
        Return the workshop's key as the ledger has it in this transaction.

        Raises:
            WrongKey: If the file is missing, or holds a key that has not, or no longer, the right.
        """
        current = current_key(db)
        held = self._held
        if held is None or held.key != current:
            held = self._held = self._find(current)
        return held

    def read(self) -> KeyFile:
        """
        Read the key file.

        Raises:
            WrongKey: If it is missing or holds no key.
        """
        return _read(self._path)

    def write_beside(self, key: SigningKey, chain: tuple[str, ...]) -> Path:
        """
        Write a key beside the one in force, durably; what an earlier try left there goes.

        Only inside a write transaction that began with `signer`: nobody else is at it then.
        """
        for left in self._beside():
            left.unlink()
        # No name twice: who is late to put one in place must not meet another's half-written file.
        beside = self._path.with_name(f"{KEY_FILE}.{secrets.token_hex(8)}")
        files.write_new(beside, KeyFile(key, chain).text, mode=0o600)
        files.sync_folder(beside.parent)
        return beside

    def put_in_place(self, beside: Path) -> None:
        """Let the new key take the old one's place. Another process may have done it."""
        try:
            files.move_into_place(beside, self._path)
        except FileNotFoundError:
            return

    def _find(self, current: str) -> SigningKey:
        for beside in self._beside():
            if _is_of(beside, current):
                self.put_in_place(beside)
        held = self.read().key
        if held.key != current:
            raise WrongKey(
                t(
                    words.NOT_CURRENT_KEY,
                    path=str(self._path),
                    current=current,
                    key=held.key,
                )
            )
        return held

    def _beside(self) -> list[Path]:
        return sorted(self._path.parent.glob(f"{KEY_FILE}.*"))


def current_key(db: Connection) -> str:
    """Return the workshop's public key as the ledger has it."""
    return str(db.execute(_CURRENT).fetchone()[0])


def _read(path: Path) -> KeyFile:
    try:
        seed, *chain = path.read_text().splitlines()
        return KeyFile(SigningKey.from_seed(bytes.fromhex(seed.strip())), tuple(chain))
    except FileNotFoundError as error:
        raise WrongKey(t(words.IS_MISSING, path=str(path))) from error
    except (ValueError, BadKey) as error:
        raise WrongKey(t(words.HOLDS_NO_KEY, path=str(path))) from error


def _is_of(path: Path, key: str) -> bool:
    try:
        return _read(path).key.key == key
    except WrongKey:
        return False  # half written: it never counted


_CURRENT = "select key from devices where role = 'console' and revoked_at is null"
