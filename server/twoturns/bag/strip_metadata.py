"""
A photo without what rides beside its pixels: place, time, camera, comments, further pictures.

Nothing is decoded and nothing encoded anew: the parts of the file that make the picture are copied
as they are, and what is not known to be one of them stays behind. Only the way to turn it goes
along, in an Exif block of one field made here, and what a JPEG's colours are told by (JFIF, Adobe),
made anew as well. Colour profiles stay behind: they are free text to whoever writes them.

Sources: ITU-T T.81, annex B, and T.871 (JPEG, JFIF); W3C PNG, third edition, sections 5 and 11;
RFC 9649 (WebP); Exif 2.32, section 4.6.4 (tag 0x0112).
"""

import re
import struct
import zlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from PIL import ExifTags

from twoturns.bag import picture
from twoturns.trade.media import media_type

_FRAMES: Final = frozenset(range(0xC0, 0xD0)) - {0xC8}  # SOF, DHT and DAC; C8 is reserved
_TABLES: Final = frozenset({0xDA, 0xDB, 0xDC, 0xDD, 0xDE, 0xDF})  # SOS DQT DNL DRI DHP EXP
_MARKER: Final = re.compile(rb"\xff[^\x00\xd0-\xd7]")  # none of FF stuffed, and no restart
_BESIDE: Final = frozenset({*range(0xE0, 0xF0), 0xFE})  # APPn and COM
_SOI, _EOI, _SOS, _APP0, _APP14 = b"\xff\xd8", 0xD9, 0xDA, 0xE0, 0xEE
_JFIF: Final = bytes.fromhex("ffe000104a46494600010100000100010000")
_PNG: Final = b"\x89PNG\r\n\x1a\n"
_PNG_KEPT: Final = frozenset(
    {b"IHDR", b"PLTE", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"cICP", b"sBIT", b"IDAT", b"IEND"}
)
_WEBP_KEPT: Final = frozenset({b"VP8X", b"ALPH", b"VP8 ", b"VP8L"})
_WEBP_ALPHA, _WEBP_EXIF = 0x10, 0x08


Part = bytes | slice  # bytes made here, or where in the photo's own they stand


class _Odd(Exception):
    """The file is not built as its kind is built."""


@dataclass(frozen=True)
class Bare:
    """A photo without what is beside its pixels: its kind, and the parts it is made of."""

    kind: str
    parts: tuple[Part, ...]

    def of(self, data: bytes) -> bytes:
        """Return it, made of the photo's bytes."""
        view = memoryview(data)
        return b"".join(view[part] if isinstance(part, slice) else part for part in self.parts)


def bare(data: bytes) -> Bare | None:
    """
    Return the photo without what is beside its pixels.

    None if it is no JPEG, PNG or WebP, too large to be opened (`picture.MAX_BYTES`, and its limits
    of pixels), moving, or built oddly: then `picture.copy_at_most` may still make a copy.
    """
    kind = media_type(data)
    strip = {"image/jpeg": _jpeg, "image/png": _png, "image/webp": _webp}.get(kind or "")
    opened = None if strip is None else picture.header_of(data)
    if kind is None or strip is None or opened is None:
        return None
    try:
        out = Bare(kind, tuple(_joined(strip(data, opened.turned))))
    except (_Odd, IndexError, struct.error):
        return None
    made = picture.header_of(out.of(data))
    # What comes out is a picture of the same size, or it does not go out.
    is_same = made is not None and (made.width, made.height) == (opened.width, opened.height)
    return out if is_same else None


def _joined(parts: Iterable[Part]) -> Iterator[Part]:
    """Yield parts, those in one piece that follow each other in the photo."""
    last: Part = b""
    for part in parts:
        if isinstance(last, slice) and isinstance(part, slice) and last.stop == part.start:
            last = slice(last.start, part.stop)
        else:
            yield last
            last = part
    yield last


def _exif(turned: int) -> bytes:
    """Return Exif's TIFF structure with the orientation alone."""
    field = struct.pack(">HHIHH", ExifTags.Base.Orientation, 3, 1, turned, 0)
    return b"MM\x00*" + struct.pack(">IH", 8, 1) + field + struct.pack(">I", 0)


# JPEG.


def _jpeg(data: bytes, turned: int) -> list[Part]:
    segments = list(_jpeg_segments(data))
    beside = [(code, data[at]) for code, at in segments if code in _BESIDE]
    head: list[Part] = [_SOI]
    if any(code == _APP0 and one[4:9] == b"JFIF\0" for code, one in beside):
        head.append(_JFIF)
    if turned != 1:
        block = b"Exif\0\0" + _exif(turned)
        head.append(b"\xff\xe1" + struct.pack(">H", len(block) + 2) + block)
    for code, one in beside:
        if code == _APP14 and one[4:9] == b"Adobe" and len(one) >= 16:
            head.append(b"\xff\xee\x00\x0eAdobe\x00\x64\x00\x00\x00\x00" + one[15:16])
            break
    return [*head, *(at for code, at in segments if code not in _BESIDE)]


def _jpeg_segments(data: bytes) -> Iterator[tuple[int, slice]]:
    """
    Yield code and place of the segments behind SOI up to EOI, a scan with its coded data; what
    follows is left.
    """
    at = 2
    while True:
        if data[at] != 0xFF:
            raise _Odd
        while data[at + 1] == 0xFF:  # fill bytes
            at += 1
        code = data[at + 1]
        if code == _EOI:
            yield code, slice(at, at + 2)
            return
        if code not in _FRAMES | _TABLES | _BESIDE:
            raise _Odd
        end = at + 2 + struct.unpack_from(">H", data, at + 2)[0]
        if code == _SOS:
            end = _end_of_scan(data, end)
        if end < at + 4 or end > len(data):
            raise _Odd
        yield code, slice(at, end)
        at = end


def _end_of_scan(data: bytes, at: int) -> int:
    """Return where the coded data end: at the first marker that is no restart and no stuffing."""
    found = _MARKER.search(data, at)
    if found is None:
        raise _Odd
    return found.start()


# PNG.


def _png(data: bytes, turned: int) -> list[Part]:
    out: list[Part] = [_PNG]
    at, kind, kept = len(_PNG), b"", b""
    while kind != b"IEND":
        length, kind = struct.unpack_from(">I4s", data, at)
        body = data[at + 8 : at + 8 + length]
        if struct.unpack_from(">I", data, at + 8 + length)[0] != zlib.crc32(kind + body):
            raise _Odd
        if kind == b"IDAT" and turned != 1 and kept != b"IDAT":
            out.append(_chunk(b"eXIf", _exif(turned)))
            turned = 1
        if kind in _PNG_KEPT:
            out.append(slice(at, at + 12 + length))
            kept = kind
        at += 12 + length
    return out


def _chunk(kind: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


# WebP.


def _webp(data: bytes, turned: int) -> list[Part]:
    end = 8 + struct.unpack_from("<I", data, 4)[0]
    if end > len(data):
        raise _Odd
    out: list[Part] = []
    size, at = len(b"WEBP"), 12
    while at < end:
        kind, length = struct.unpack_from("<4sI", data, at)
        body = data[at + 8 : at + 8 + length]
        if len(body) != length or kind in (b"ANIM", b"ANMF"):
            raise _Odd
        if kind == b"VP8X":
            flags = body[0] & _WEBP_ALPHA | (0 if turned == 1 else _WEBP_EXIF)
            out.append(made := _riff(kind, bytes([flags, 0, 0, 0]) + body[4:10]))
            size += len(made)
        elif kind in _WEBP_KEPT:
            out += [slice(at, at + 8 + length), b"\0" * (length % 2)]
            size += 8 + length + length % 2
        at += 8 + length + length % 2
    if turned != 1:
        out.append(made := _riff(b"EXIF", _exif(turned)))
        size += len(made)
    return [struct.pack("<4sI4s", b"RIFF", size, b"WEBP"), *out]


def _riff(kind: bytes, body: bytes) -> bytes:
    return kind + struct.pack("<I", len(body)) + body + b"\0" * (len(body) % 2)
