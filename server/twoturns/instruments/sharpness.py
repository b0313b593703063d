"""
How sharp and how bright is a photo? Three figures; what to say of them is the phone's.

Sharpness is the 99.5th percentile of |Laplacian| after a Gaussian of 0.7 pixels, on a gray copy
whose long side is 512: stable where the variance of the Laplacian takes a dark photo's noise for
detail. The copy comes from an average over exact areas in whole numbers, never from a library's own
scaling, which differs by a factor of 1.5 from one to the next. Nothing is rounded before the last
step but the gray copy, so browser and server agree to the digit on the same pixels, whichever way
up. Two JPEG decoders may differ by a level here and there: `same` allows for it.

Sources: S1, Rec. ITU-R BT.601 (luma). S2, Pech-Pacheco et al. 2000 and Pertuz et al. 2013 on
Laplacian focus measures. The thresholds are our own, from ten photos blurred by hand
(tests/bench/bench_instruments.py); none of them shows an engine. The twin is
`client/src/instruments/sharpness.ts`.
"""

from __future__ import annotations

import io
import struct
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
from PIL import Image

from twoturns.instruments.refusal import rounded

LONG_SIDE = 512  # chosen: averaging to it takes a dark photo's noise away
_BLOWN_FROM = 250  # chosen, of 255: coding leaves little of plain white at 255 itself
_LEAST_SIDE = 16  # chosen: a strip that is narrower has no inside to measure
_LONGEST_SIDE = 256 * LONG_SIDE  # chosen: sums stay exact in 64 bits far beyond it
_STEPS = 16  # chosen: in whole grays the rounding alone would be noise
_LUMA = np.array([77, 150, 29], np.int64)  # S1, in 256ths: 0.299, 0.587, 0.114
_KERNEL = (10, 210, 584, 210, 10)  # by definition, exp(-k²/0.98) in 1024ths
_MOST_PIXELS = 120_000_000  # chosen: a larger picture is no phone's, and would fill the memory
_STRIP = 256  # chosen: rows at a time, so that a photo is never in memory as 64-bit numbers whole
_FORMATS = ("JPEG", "PNG", "WEBP")  # an EPS, say, would be given to another program to draw
# What Pillow raises at bytes that are no picture; found by changing bytes of good ones at random.
_NO_PICTURE = (
    *(Image.DecompressionBombError, OSError, ValueError, SyntaxError, struct.error, TypeError),
    *(KeyError, IndexError, OverflowError, ZeroDivisionError),
)

Numbers = npt.NDArray[np.int64]


@dataclass(frozen=True)
class Quality:
    """As `photo.taken` records it. `mean` is gray 0 to 255, `blown_permille` the share from 250."""

    sharp_tenths: int
    mean: int
    blown_permille: int


def quality_of_photo(photo: bytes) -> Quality | None:
    """Judge a file's bytes; None where it cannot be decoded here, or is too small to be judged."""
    try:
        with Image.open(io.BytesIO(photo), formats=_FORMATS) as image:
            if image.width * image.height > _MOST_PIXELS:
                return None
            rgb = np.asarray(image.convert("RGB"))
    except _NO_PICTURE:
        return None
    return quality_of_pixels(rgb)


def quality_of_pixels(rgb: npt.NDArray[np.uint8]) -> Quality | None:
    """
    Judge rows of red, green, blue; None for a picture too small, narrow or long.

    A picture below 512 pixels is judged at its own size. All sums are exact: 64-bit whole numbers.

    >>> quality_of_pixels(np.full((600, 800, 3), 128, np.uint8))
    Quality(sharp_tenths=0, mean=128, blown_permille=0)
    """
    height, width = rgb.shape[:2]
    longest = max(width, height)
    if min(width, height) * min(1, LONG_SIDE / longest) < _LEAST_SIDE or longest > _LONGEST_SIDE:
        return None
    gray = _gray(rgb)
    return Quality(
        sharp_tenths=_percentile(_edges(_smooth(gray))),
        mean=rounded(int(gray.sum()) / (_STEPS * gray.size)),
        blown_permille=rounded(1000 * int((gray >= _BLOWN_FROM * _STEPS).sum()) / gray.size),
    )


def same(told: Quality, found: Quality) -> bool:
    """
    Tell whether two decoders saw one photo: within 3 % and half a gray in sharpness.

    A blurred shot of the same scene differs by far more; a photo that was exchanged, too.
    """
    off = abs(told.sharp_tenths - found.sharp_tenths)
    return (
        off <= 5 + 0.03 * max(told.sharp_tenths, found.sharp_tenths)
        and abs(told.mean - found.mean) <= 2
        and abs(told.blown_permille - found.blown_permille) <= 10
    )


def _gray(rgb: npt.NDArray[np.uint8]) -> Numbers:
    height, width = rgb.shape[:2]
    across, down = _boxes(width, max(width, height)), _boxes(height, max(width, height))
    strips = [
        _average((rgb[top : top + _STRIP].astype(np.int64) @ _LUMA).T, across)
        for top in range(0, height, _STRIP)
    ]
    sums = _average(np.hstack(strips).T, down)
    unit = 256 * width * height  # what a gray of 1 weighs
    gray: Numbers = (2 * _STEPS * sums + unit) // (2 * unit)
    return gray


def _boxes(pixels: int, longest: int) -> int:
    return pixels if longest <= LONG_SIDE else max(1, rounded(pixels * LONG_SIDE / longest))


def _average(rows: Numbers, boxes: int) -> Numbers:
    """Sum rows into boxes of equal height; a pixel weighs `boxes`, shared where an edge cuts it."""
    pixels = rows.shape[0]
    ahead = np.zeros((pixels + 1, *rows.shape[1:]), np.int64)
    np.cumsum(rows, axis=0, out=ahead[1:])
    edge = np.arange(boxes + 1) * pixels
    at, part = edge // boxes, edge % boxes
    cut = rows[np.minimum(at, pixels - 1)] * part[:, None]
    sums: Numbers = np.diff(boxes * ahead[at] + cut, axis=0)
    return sums


def _smooth(gray: Numbers) -> Numbers:
    """The Gaussian where all of it lies inside; 1024² too large."""
    height, width = gray.shape
    across = np.zeros((height, width - 4), np.int64)
    for k, weight in enumerate(_KERNEL):
        across += weight * gray[:, k : k + width - 4]
    both = np.zeros((height - 4, width - 4), np.int64)
    for k, weight in enumerate(_KERNEL):
        both += weight * across[k : k + height - 4]
    return both


def _edges(smoothed: Numbers) -> Numbers:
    """|Laplacian| in tenths of a gray, inside the edge; four neighbours."""
    middle = smoothed[1:-1, 1:-1]
    four = smoothed[1:-1, :-2] + smoothed[1:-1, 2:] + smoothed[:-2, 1:-1] + smoothed[2:, 1:-1]
    unit = _STEPS * 1024 * 1024
    tenths: Numbers = (20 * np.abs(4 * middle - four) + unit) // (2 * unit)
    return tenths


def _percentile(values: npt.NDArray[Any]) -> int:
    """The 99.5th percentile by nearest rank."""
    rank = (995 * values.size + 999) // 1000
    return int(np.partition(values.ravel(), rank - 1)[rank - 1])
