"""
Private values: what can be erased.

A VIN, a plate, a name, free text: each is a small blob of its own, and an entry carries only its
SHA-256. A plate is short enough to be guessed from a bare hash, so each blob has a random salt.
Erasing the blob leaves the entry, its signature and the tree as they were.
"""

import hashlib
from dataclasses import dataclass
from typing import Final

from twoturns.words import t
from twoturns.words.en.ledger import private as words

from . import base64url, canonical
from .errors import BadPrivateValue, LedgerError, TooLarge

FIELDS: Final = ("vin", "plate", "name", "phone", "customer", "words", "signature")
SALT_BYTES: Final = 16
MAX_BYTES: Final = 4 * 1024
_HINT = t(words.BAD_PRIVATE_VALUE_HINT)


@dataclass(frozen=True, slots=True)
class PrivateValue:
    """What a blob says: of which field, and the salt that keeps its hash from being guessed."""

    field: str
    value: str
    salt: bytes


def write(field: str, value: str, salt: bytes) -> bytes:
    """
    Return the blob of a private value.

    Args:
        field: One of `FIELDS`.
        value: The text itself; of a drawn signature, an SVG path's `d`.
        salt: 16 random bytes, fresh for each blob.

    Raises:
        LedgerError: As `read`: what could not be read is not written.
    """
    said = {"field": field, "salt": base64url.encode(salt), "value": value}
    data = canonical.dumps(said)
    read(data)
    return data


def read(data: bytes) -> PrivateValue:
    """
    Read a blob.

    Raises:
        TooLarge: Over 4 KiB.
        NotCanonical: Not canonical JSON.
        BadPrivateValue: Not of the form.
    """
    if len(data) > MAX_BYTES:
        raise TooLarge(
            t(words.VALUE_TOO_LONG, data=len(data), max_bytes=MAX_BYTES),
            hint=t(words.VALUE_TOO_LONG_HINT),
        )
    said = canonical.loads(data)
    if not isinstance(said, dict) or said.keys() != {"field", "salt", "value"}:
        raise BadPrivateValue(t(words.OTHER_MEMBERS), hint=_HINT)
    if said["field"] not in FIELDS:
        expected = ", ".join(FIELDS)
        raise BadPrivateValue(
            t(words.UNKNOWN_FIELD, field=f"{said['field']!r:.80}", expected=expected),
            hint=_HINT,
        )
    if not isinstance(said["value"], str):
        raise BadPrivateValue(t(words.VALUE_NOT_TEXT), hint=_HINT)
    return PrivateValue(said["field"], said["value"], _salt(said["salt"]))


def blob_id(data: bytes) -> str:
    """Return the name of a blob: its SHA-256 in hex."""
    return hashlib.sha256(data).hexdigest()


def _salt(text: object) -> bytes:
    try:
        return base64url.decode(str(text), SALT_BYTES)
    except LedgerError as error:
        raise BadPrivateValue(f"salt: {error}", hint=_HINT) from error
