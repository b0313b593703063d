"""
The checkpoint: a tree's size and root, signed by the workshop key.

C2SP tlog-checkpoint in a signed note (`note`), without extension lines:

    two-turns/WORKSHOP-ID
    SIZE
    base64 of the root

    — two-turns/WORKSHOP-ID base64(key id || signature)
"""

import base64
import re
from dataclasses import dataclass

from twoturns.words import t
from twoturns.words.en.ledger import checkpoint as words

from . import note
from .errors import BadCheckpoint
from .keys import SigningKey

_TEXT = re.compile(r"([^\n]+)\n(0|[1-9][0-9]{0,14})\n([A-Za-z0-9+/]{43}=)\n")
_HINT = t(words.BAD_CHECKPOINT_HINT)


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
    return note.sign(key, origin, text)


def open(text: str, key: str, workshop: str) -> Checkpoint:  # noqa: A001 - `checkpoint.open`
    """
    Return what a checkpoint says, if the key signed it for this workshop.

    Raises:
        BadCheckpoint: If it did not, or the text has another form.
    """
    parts = note.split(text)
    form = _TEXT.fullmatch(parts[0]) if parts else None
    if parts is None or form is None:
        raise BadCheckpoint(t(words.NOT_A_CHECKPOINT), hint=_HINT)
    origin, size, root = form.groups()
    if origin != origin_of(workshop):
        raise BadCheckpoint(t(words.OTHER_ORIGIN, origin=f"{origin[:80]!r}"), hint=_HINT)
    if not note.is_signed(*parts, key, origin):
        raise BadCheckpoint(t(words.NOT_SIGNED), hint=_HINT)
    return Checkpoint(int(size), note.decoded(root))
