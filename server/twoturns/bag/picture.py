"""
Small copies of photos, made of pixels alone, turned upright first: no metadata can come along.

A photo may be a bomb: 493 KB of PNG once unpacked to 660 MB. Its size in pixels is judged from
the header before anything is decoded, and a JPEG is decoded at a fraction of its size.
"""

import io
import struct
import warnings
from dataclasses import dataclass
from typing import Final

from PIL import ExifTags, Image, UnidentifiedImageError

MAX_PIXELS: Final = 50_000_000  # a phone's largest photo; unpacked, 150 MB
MAX_WHOLE_PIXELS: Final = 12_500_000  # of one that is no JPEG: a WebP takes 16 bytes a pixel
MAX_BYTES: Final = 64 * 2**20
COPY_PX: Final = 2_400  # of a copy that must be encoded anew: a label can still be read
THUMBNAIL_PX: Final = 320
_QUALITY: Final = 80
_UPRIGHT: Final = {  # Exif 2.32, tag 0x0112
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
_ON_ITS_SIDE: Final = (5, 6, 7, 8)
_MAX_JPEG_PX: Final = 65_500  # libjpeg's own limit for a side
# What Pillow raises at bytes that are no picture; found by changing bytes of good ones at random.
_NO_PICTURE: Final = (
    *(UnidentifiedImageError, Image.DecompressionBombError, OSError, ValueError, SyntaxError),
    *(struct.error, TypeError, KeyError, IndexError, OverflowError, ZeroDivisionError),
)
# Two encoders differ by 20 at an edge; a digit painted over differs by 100 and more. From tests.
_WORST_STEP: Final = 48


@dataclass(frozen=True)
class Header:
    """What the head of a picture says: its size as it is stored, and how to turn it (Exif, 1-8)."""

    width: int
    height: int
    turned: int


def header_of(data: bytes) -> Header | None:
    """Return what a picture's head says; None if it is no picture, or larger than is opened."""
    if len(data) > MAX_BYTES:
        return None
    try:
        with _opened(data) as image:
            how = image.getexif().get(ExifTags.Base.Orientation)
            return Header(image.width, image.height, how if how in _UPRIGHT else 1)
    except _NO_PICTURE:
        return None


def copy_at_most(data: bytes, width_px: int) -> bytes | None:
    """Return a JPEG at most so many pixels wide, or None if this is no picture we can read."""
    if len(data) > MAX_BYTES:
        return None
    try:
        with _opened(data) as image:
            how = image.getexif().get(ExifTags.Base.Orientation)
            image.draft("RGB", (width_px, width_px))
            # Small first, then turned: each copy of the whole picture costs as much as the first.
            plain = image if image.mode in ("L", "RGB") else image.convert("RGB")
            box = (width_px, _MAX_JPEG_PX)
            plain.thumbnail(box[::-1] if how in _ON_ITS_SIDE else box)
            upright = plain.transpose(_UPRIGHT[how]) if how in _UPRIGHT else plain
            upright = upright.convert("RGB")
    except _NO_PICTURE:
        return None
    out = io.BytesIO()
    # A new image: what Pillow keeps beside the pixels (EXIF, comments) stays behind.
    Image.frombytes("RGB", upright.size, upright.tobytes()).save(out, "JPEG", quality=_QUALITY)
    return out.getvalue()


def alike(one: bytes, other: bytes) -> bool:
    """Say whether two small JPEGs show the same: another edition of Pillow packs otherwise."""
    try:
        with _opened(one) as first, _opened(other) as second:
            if first.size != second.size or first.width > THUMBNAIL_PX:
                return False
            a, b = (image.convert("RGB").tobytes() for image in (first, second))
    except _NO_PICTURE:
        return False
    # The worst pixel, not the mean: a changed digit on a plate moves few pixels, but far.
    return max((abs(x - y) for x, y in zip(a, b, strict=True)), default=0) <= _WORST_STEP


def _opened(data: bytes) -> Image.Image:
    with warnings.catch_warnings():
        # Pillow only warns of a bomb; we refuse it below.
        warnings.simplefilter("ignore", Image.DecompressionBombWarning)
        image = Image.open(io.BytesIO(data), formats=("JPEG", "PNG", "WEBP"))
    most = MAX_PIXELS if image.format == "JPEG" else MAX_WHOLE_PIXELS
    if image.width * image.height > most:
        raise ValueError(f"{image.width} x {image.height} pixels")
    return image
