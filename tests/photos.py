"""Photos for tests: one that tells too much, and one that is a bomb."""

import io
import struct
import zlib

from PIL import Image


def photo(width: int = 400, height: int = 300, kind: str = "JPEG") -> bytes:
    """Return a photo that says where, when and with what it was taken, lying on its side."""
    image = Image.effect_mandelbrot((width, height), (-2, -1, 1, 1), 50).convert("RGB")
    exif = Image.Exif()
    exif[0x010F] = "Camera maker"
    exif[0x0112] = 6  # turn it by 90 degrees to look at it
    exif.get_ifd(0x8825)[1] = "N"
    exif.get_ifd(0x8825)[2] = (48.0, 12.0, 30.0)
    out = io.BytesIO()
    image.save(out, kind, exif=exif)
    return out.getvalue()


def bomb(side: int) -> bytes:
    """Return a PNG of a few bytes whose header says side x side pixels."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return (
            struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        )

    header = struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0)
    body = chunk(b"IHDR", header) + chunk(b"IDAT", zlib.compress(b"")) + chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + body
