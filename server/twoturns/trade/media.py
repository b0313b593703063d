"""
What kind of image a file is, by its first bytes: never by what it is called.

The four kinds that a photo may be. HTML, SVG, GIF or a script under the name of a photo is none of
them. `client/src/trade/media.ts` is the twin; `tests/vectors/media_types.json` holds both to it.

Sources: WHATWG MIME Sniffing Standard, section 6.1 (JPEG, PNG, WebP); ISO/IEC 14496-12, section
4.3 (the file type box) with the brands of ISO/IEC 23008-12, annex B (HEIC).
"""

from typing import Final

# Chosen: a file type box that names more brands than fit is not looked through.
HEAD_BYTES: Final = 64

_HEIC: Final = {b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx"}
_HEIF: Final = {b"mif1", b"msf1"}  # as the first brand: how it is coded is not said by it


def media_type(head: bytes) -> str | None:
    """
    Return `image/jpeg`, `image/png`, `image/webp` or `image/heic`, or None if it is none of them.

    Args:
        head: The first bytes of the file, `HEAD_BYTES` of them if it has so many.

    >>> media_type(bytes.fromhex("ffd8ffe0")), media_type(b"<svg xmlns=")
    ('image/jpeg', None)
    """
    if head.startswith(b"\xff\xd8\xff"):
        return "image/jpeg"
    if head.startswith(b"\x89PNG\r\n\x1a\n"):
        return "image/png"
    if head.startswith(b"RIFF") and head[8:14] == b"WEBPVP":
        return "image/webp"
    return "image/heic" if _is_heic(head[:HEAD_BYTES]) else None


def _is_heic(head: bytes) -> bool:
    if head[4:8] != b"ftyp":
        return False
    if head[8:12] in _HEIF:
        return True
    end = min(int.from_bytes(head[:4], "big"), len(head))
    brands = {head[8:12]} | {head[at : at + 4] for at in range(16, end - 3, 4)}
    return not brands.isdisjoint(_HEIC)
