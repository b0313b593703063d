"""
`Two-Turns-Seen: SIZE ROOT`: the newest head of the ledger that the asking device ever saw.

If our tree never had that root at that size, the ledger was put back to an old backup or written
anew. The phone is told with every answer, and offers everything it still has.
"""

import base64
import binascii

from flask import request

from twoturns.web.access import store
from twoturns.web.problems import Refused
from twoturns.words import t
from twoturns.words.en.web import seen as words

HEADER = "Two-Turns-Seen"


def is_rewound(checkpoint: str = "") -> bool:
    """
    Say whether the ledger lacks a head this device has seen. A device without one: no.

    One that has seen just the checkpoint of this answer, as most have that ask again and again,
    costs no look into the tree.
    """
    header = request.headers.get(HEADER)
    if header is None:
        return False
    size, root = _parse(header)
    if header.split(" ") == checkpoint.split("\n")[1:3]:
        return False
    return store().ledger.root_at(size) != root


def _parse(header: str) -> tuple[int, bytes]:
    size, _, root = header.partition(" ")
    try:
        decoded = base64.b64decode(root, validate=True)
    except (binascii.Error, ValueError):
        decoded = b""
    if not (size.isascii() and size.isdigit() and len(size) <= 15 and len(decoded) == 32):
        raise Refused("bad-header", t(words.NOT_SIZE_AND_ROOT, header=HEADER), where=HEADER)
    return int(size), decoded
