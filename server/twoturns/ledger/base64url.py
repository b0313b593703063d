"""Base64url without padding (RFC 4648 section 5), one text for one value."""

from base64 import urlsafe_b64decode, urlsafe_b64encode

from twoturns.words import t
from twoturns.words.en.ledger import base64url as words

from .errors import BadKey


def encode(data: bytes) -> str:
    """Return the text, without padding."""
    return urlsafe_b64encode(data).rstrip(b"=").decode("ascii")


def decode(text: str, size: int | None = None) -> bytes:
    """
    Return the bytes a text stands for.

    Args:
        text: Base64url without padding.
        size: How many bytes there must be, if that is known.

    Raises:
        BadKey: If the text is not what `encode` writes for its bytes, or the size is another.
            (The decoder of the standard library skips what it does not know, and takes several
            texts for the same bytes: a signature could be rewritten and still verify.)
    """
    try:
        data = urlsafe_b64decode(text + "=" * (-len(text) % 4))
    except ValueError:
        data = b""
    if encode(data) != text or (size is not None and len(data) != size):
        wanted = "base64url" if size is None else t(words.BASE64URL_OF_SIZE, size=size)
        raise BadKey(
            t(words.NOT_BASE64URL, text=f"{text[:60]!r}", wanted=wanted),
            hint=t(words.NOT_BASE64URL_HINT),
        )
    return data
