"""
The signed note (C2SP signed-note, Ed25519): a text, an empty line, and who signed it.

    TEXT, each line with its line feed

    — NAME base64(key id || signature)

The signature is over the text. The key id is the first 4 bytes of SHA-256(name || 0x0A || 0x01 ||
key). Lines by others (witnesses) may stand beside ours and are not looked at. What the text says,
and what is refused where it does not hold, is for who reads it: `checkpoint`, `bag.head`.
"""

import base64
import hashlib

from . import base64url, keys
from .keys import SigningKey

_ED25519 = b"\x01"
_KEY_ID_BYTES = 4


def sign(key: SigningKey, name: str, text: str) -> str:
    """Return the note of a text, which ends with a line feed."""
    signature = key_id(name, key.key) + key.sign(text.encode())
    return f"{text}\n\u2014 {name} {base64.b64encode(signature).decode()}\n"


def split(note: str) -> tuple[str, str] | None:
    """Return the text and the lines of those who signed it; None if it is no note."""
    text, separator, signatures = note.rpartition("\n\n")
    return (f"{text}\n", signatures) if separator else None


def is_signed(text: str, signatures: str, key: str, name: str) -> bool:
    """Say whether one of the lines is the key's, under this name."""
    if not signatures.endswith("\n"):
        return False
    ours = f"\u2014 {name} "
    expected = key_id(name, key)
    for line in signatures.removesuffix("\n").split("\n"):
        signed = decoded(line.removeprefix(ours)) if line.startswith(ours) else b""
        if signed.startswith(expected):
            return keys.verify(key, text.encode(), signed[_KEY_ID_BYTES:])
    return False


def key_id(name: str, key: str) -> bytes:
    """Return the 4 bytes that say which key of a name signed."""
    raw = base64url.decode(key, keys.KEY_BYTES)
    return hashlib.sha256(name.encode() + b"\n" + _ED25519 + raw).digest()[:_KEY_ID_BYTES]


def decoded(text: str) -> bytes:
    """Return the bytes of padded base64; none if the text is not what they are written as."""
    try:
        data = base64.b64decode(text, validate=True)
    except ValueError:
        return b""
    return data if base64.b64encode(data).decode() == text else b""
