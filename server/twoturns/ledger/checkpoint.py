"""
The checkpoint: a tree's size and root, signed by the workshop key.

C2SP tlog-checkpoint in a signed note (C2SP signed-note, Ed25519), without extension lines:

    two-turns/WORKSHOP-ID
    SIZE
    base64 of the root

    — two-turns/WORKSHOP-ID base64(key id || signature)

The key id is the first 4 bytes of SHA-256(name || 0x0A || 0x01 || key). Signature lines by others
(witnesses) may stand beside ours and are not looked at.
"""

import base64
import hashlib
import re
from dataclasses import dataclass

from . import base64url, keys
from .errors import BadCheckpoint
from .keys import SigningKey

_ED25519 = b"\x01"
_KEY_ID_BYTES = 4
_TEXT = re.compile(r"([^\n]+)\n(0|[1-9][0-9]{0,14})\n([A-Za-z0-9+/]{43}=)\n")
_HINT = (
    "Do not go by this checkpoint. If it came from the workshop itself, compare the fingerprint "
    "on paper and keep both checkpoints: the workshop's key or its ledger was replaced."
)


@dataclass(frozen=True, slots=True)
class Checkpoint:
    """How many records a ledger has, and the root over them."""

    size: int
    root: bytes


def origin_of(workshop: str) -> str:
    """Return the name of a workshop's log, which is also the name of its signer."""
    return f"two-turns/{workshop}"


def sign(key: SigningKey, workshop: str, size: int, root: bytes) -> str:
    """Return the signed checkpoint of a ledger."""
    origin = origin_of(workshop)
    text = f"{origin}\n{size}\n{base64.b64encode(root).decode()}\n"
    signature = key_id(origin, key.key) + key.sign(text.encode())
    return f"{text}\n\u2014 {origin} {base64.b64encode(signature).decode()}\n"


def open(text: str, key: str, workshop: str) -> Checkpoint:
    """
    Return what a checkpoint says, if the key signed it for this workshop.

    Raises:
        BadCheckpoint: If it did not, or the text has another form.
    """
    body, separator, signatures = text.rpartition("\n\n")
    body += "\n"
    form = _TEXT.fullmatch(body)
    if not separator or not form:
        raise BadCheckpoint("not a checkpoint: origin, size and root expected", hint=_HINT)
    origin, size, root = form.groups()
    if origin != origin_of(workshop):
        raise BadCheckpoint(f"the checkpoint is of {origin[:80]!r}", hint=_HINT)
    if not _is_signed(body, signatures, key, origin):
        raise BadCheckpoint("the workshop key did not sign the checkpoint", hint=_HINT)
    return Checkpoint(int(size), _decode(root))


def key_id(name: str, key: str) -> bytes:
    """Return the 4 bytes that say which key of a name signed (C2SP signed-note)."""
    raw = base64url.decode(key, keys.KEY_BYTES)
    return hashlib.sha256(name.encode() + b"\n" + _ED25519 + raw).digest()[:_KEY_ID_BYTES]


def _is_signed(body: str, signatures: str, key: str, name: str) -> bool:
    if not signatures.endswith("\n"):
        return False
    ours = f"\u2014 {name} "
    expected = key_id(name, key)
    for line in signatures.removesuffix("\n").split("\n"):
        signed = _decode(line.removeprefix(ours)) if line.startswith(ours) else b""
        if signed.startswith(expected):
            return keys.verify(key, body.encode(), signed[_KEY_ID_BYTES:])
    return False


def _decode(text: str) -> bytes:
    """Return the bytes of padded base64; none if the text is not what they are written as."""
    try:
        data = base64.b64decode(text, validate=True)
    except ValueError:
        return b""
    return data if base64.b64encode(data).decode() == text else b""
