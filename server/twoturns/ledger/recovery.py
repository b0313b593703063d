"""
The recovery key: on paper alone, for the day the workshop key is lost or stolen.

Sixteen bytes of chance and four that check them, in the base32 of RFC 4648 (A to Z, 2 to 7; in a
fixed fount no 0, 1, 8 or 9 stands beside O, I, B or g), eight groups of four: 128 bits, as strong
as Ed25519 itself. The key that signs is made from the sixteen; the ledger holds only its
thumbprint, a hash, until it is used. Whoever has the paper can take the workshop over.
"""

import base64
import hashlib
import os
from typing import Final

from twoturns.words import t
from twoturns.words.en.ledger import recovery as words

from .errors import BadKey
from .keys import SigningKey

SECRET_BYTES: Final = 16
CHECK_BYTES: Final = 4
GROUPS: Final = 8
_CHARACTERS: Final = 32  # 20 bytes are 32 characters of base32, and need no padding
# What a reader takes for a letter; none of them is in the alphabet.
_MISREAD: Final = str.maketrans("018", "OIB")
_HINT: Final = t(words.BAD_RECOVERY_KEY_HINT)


def generate() -> bytes:
    """Return the secret of a new recovery key. Not pure: it asks the system for chance."""
    return os.urandom(SECRET_BYTES)


def signing_key(secret: bytes) -> SigningKey:
    """Return the key that signs a recovery."""
    return SigningKey.from_seed(hashlib.sha256(b"two-turns recovery key\n" + secret).digest())


def write(secret: bytes) -> str:
    """
    Return the secret as it stands on paper.

    >>> write(bytes(16))
    'AAAA-AAAA-AAAA-AAAA-AAAA-AAAA-ABW5-CPTP'
    """
    text = base64.b32encode(secret + _check(secret)).decode()
    return "-".join(text[at : at + 4] for at in range(0, _CHARACTERS, 4))


def read(text: str) -> bytes:
    """
    Return the secret of what was typed from paper. Case, spaces and dashes do not matter.

    Raises:
        BadKey: If it is not a recovery key, or one character is wrong.
    """
    plain = "".join(one for one in text.upper() if one.isalnum()).translate(_MISREAD)
    if len(plain) != _CHARACTERS:
        fact = t(words.WRONG_LENGTH, characters=_CHARACTERS, plain=len(plain))
        raise BadKey(fact, hint=_HINT)
    try:
        data = base64.b32decode(plain)
    except ValueError as error:  # binascii.Error is one, and what is no ASCII raises it plain
        raise BadKey(t(words.WRONG_ALPHABET), hint=_HINT) from error
    secret, check = data[:SECRET_BYTES], data[SECRET_BYTES:]
    if check != _check(secret):
        raise BadKey(t(words.WRONG_CHARACTER), hint=_HINT)
    return secret


def _check(secret: bytes) -> bytes:
    return hashlib.sha256(b"two-turns recovery check\n" + secret).digest()[:CHECK_BYTES]
