"""
Small copies of photos, made of pixels alone, turned upright first: no metadata can come along.

A photo may be a bomb: 493 KB of PNG once unpacked to 660 MB. Its size in pixels is judged from
the header before anything is decoded, and a JPEG is decoded at a fraction of its size.
"""

import io
import warnings

from PIL import Image, ImageOps, UnidentifiedImageError

MAX_PIXELS = 50_000_000  # a phone's largest photo; unpacked, 150 MB
MAX_BYTES = 64 * 2**20
QUALITY = 80


def copy_at_most(data: bytes, width_px: int) -> bytes | None:
    """Return a JPEG at most so many pixels wide, or None if this is no picture we can read."""
    try:
        with _opened(data) as image:
            image.draft("RGB", (width_px, width_px))
            upright = ImageOps.exif_transpose(image).convert("RGB")
    except (UnidentifiedImageError, Image.DecompressionBombError, OSError, ValueError, SyntaxError):
        return None
    upright.thumbnail((width_px, upright.height))
    out = io.BytesIO()
    # A new image: what Pillow keeps beside the pixels (EXIF, comments) stays behind.
    Image.frombytes("RGB", upright.size, upright.tobytes()).save(out, "JPEG", quality=QUALITY)
    return out.getvalue()


def _opened(data: bytes) -> Image.Image:
    with warnings.catch_warnings():
        # Pillow only warns of a bomb; we refuse it below.
        warnings.simplefilter("ignore", Image.DecompressionBombWarning)
        image = Image.open(io.BytesIO(data), formats=("JPEG", "PNG", "WEBP"))
    if image.width * image.height > MAX_PIXELS:
        raise ValueError(f"{image.width} x {image.height} pixels")
    return image
