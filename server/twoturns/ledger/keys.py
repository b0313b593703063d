"""
Ed25519 keys (RFC 8032), their names, and the messages they sign beside entries.

A key is written as the `x` of its JWK (RFC 8037): 32 bytes in base64url. Its name is the RFC 7638
thumbprint. Signatures are checked by libsodium, the fastest of those measured.

A message starts with a line that says what it is for, so that a signature made for one purpose
means nothing for another; an entry's bytes start with `{`.
"""

import hashlib
import os
from functools import lru_cache

from nacl.exceptions import BadSignatureError
from nacl.signing import SigningKey as SodiumKey
from nacl.signing import VerifyKey

from twoturns.words import t
from twoturns.words.en.ledger import keys as words

from . import base64url, canonical
from .errors import BadKey

KEY_BYTES = 32
SIGNATURE_BYTES = 64


class SigningKey:
    """A private key. Whoever holds it can sign in its name: it is written nowhere by itself."""

    def __init__(self, seed: bytes) -> None:
        self._sodium = SodiumKey(seed)
        self.key = base64url.encode(bytes(self._sodium.verify_key))
        self.thumbprint = thumbprint(self.key)

    @classmethod
    def generate(cls) -> "SigningKey":
        """Return a new key. Not pure: it asks the operating system for 32 bytes of chance."""
        return cls(os.urandom(KEY_BYTES))

    @classmethod
    def from_seed(cls, seed: bytes) -> "SigningKey":
        """
        Return the key of a 32-byte seed.

        Raises:
            BadKey: If there are not 32 bytes.
        """
        if len(seed) != KEY_BYTES:
            raise BadKey(
                t(words.WRONG_SEED_SIZE, key_bytes=KEY_BYTES, seed=len(seed)),
                hint=t(words.WRONG_SEED_SIZE_HINT),
            )
        return cls(seed)

    @property
    def seed(self) -> bytes:
        """The 32 bytes the key is made from."""
        return bytes(self._sodium)

    def sign(self, message: bytes) -> bytes:
        """Return the 64-byte signature of a message."""
        return self._sodium.sign(message).signature


@lru_cache(1_024)
def thumbprint(key: str) -> str:
    """
    Return the name of a key: SHA-256 of its JWK's required members, in base64url.

    Source: RFC 7638 section 3, RFC 8037 section 2.
    """
    jwk = b'{"crv":"Ed25519","kty":"OKP","x":"%b"}' % key.encode("ascii")
    return base64url.encode(hashlib.sha256(jwk).digest())


def verify(key: str, message: bytes, signature: bytes) -> bool:
    """Say whether the key signed the message. A key or signature of the wrong form did not."""
    try:
        _verify_key(key).verify(message, signature)
    except (BadKey, BadSignatureError, ValueError):
        return False
    return True


@lru_cache(1_024)  # a batch is one device's, and a workshop has few
def _verify_key(key: str) -> VerifyKey:
    return VerifyKey(base64url.decode(key, KEY_BYTES))


def enrolment_message(*, device: str, invitation: str, workshop: str) -> bytes:
    """Return what the invitation's key signs to let a device in."""
    said = {"device": device, "invitation": invitation, "workshop": workshop}
    return b"two-turns enrol\n" + canonical.dumps(said)


def session_message(*, device: str, nonce: str, workshop: str) -> bytes:
    """Return what a device's key signs to open a session."""
    said = {"device": device, "nonce": nonce, "workshop": workshop}
    return b"two-turns session\n" + canonical.dumps(said)


def succession_message(*, key: str, workshop: str) -> bytes:
    """Return what the workshop key before, in edition 1 or an owner's, signs to hand over."""
    return b"two-turns succession\n" + canonical.dumps({"key": key, "workshop": workshop})


def recovery_message(*, key: str, recovery: str, root: str, size: int, workshop: str) -> bytes:
    """Return what the recovery key signs to put a new key in the place of one lost or stolen."""
    said = {"key": key, "recovery": recovery, "root": root, "size": size, "workshop": workshop}
    return b"two-turns recovery\n" + canonical.dumps(said)


def commitment_message(*, recovery: str, workshop: str) -> bytes:
    """Return what the recovery key before signs to let another one take its place."""
    return b"two-turns commitment\n" + canonical.dumps({"recovery": recovery, "workshop": workshop})
