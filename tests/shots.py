"""
Photos made blurred, noisy, dark: what the tests and the bench of `sharpness` judge.

The pictures come with scikit-image (its data/README.txt): astronaut, rocket, text, clock_motion
public domain; camera, chelsea, coffee, brick, grass, gravel CC0; retina and hubble public domain.
"""

from __future__ import annotations

import numpy as np
from scipy import ndimage
from skimage import data

SHARP = (
    "astronaut",
    "rocket",
    "text",
    "camera",
    "chelsea",
    "coffee",
    "brick",
    "grass",
    "gravel",
    "retina",
)


def photo(name: str) -> np.ndarray:
    """Return a picture as rows of red, green, blue."""
    pixels = np.asarray(getattr(data, name)())
    return pixels[..., :3] if pixels.ndim == 3 else np.repeat(pixels[..., None], 3, axis=2)


def small(name: str) -> np.ndarray:
    """Return a picture as gray whose long side is at most 512, as floats."""
    from skimage.transform import resize

    gray = photo(name) @ np.array([0.299, 0.587, 0.114])
    scale = 512 / max(gray.shape)
    if scale >= 1:
        return gray
    shape = tuple(round(side * scale) for side in gray.shape)
    return resize(gray, shape, anti_aliasing=True, preserve_range=True)


def disc(radius: int) -> np.ndarray:
    y, x = np.mgrid[-radius : radius + 1, -radius : radius + 1]
    inside = (x * x + y * y <= radius * radius + 0.5).astype(float)
    return inside / inside.sum()


def motion(pixels: int) -> np.ndarray:
    line = np.zeros((pixels, pixels))
    line[pixels // 2] = 1 / pixels
    return line


BLURS = {
    "disc 2": disc(2),
    "disc 3": disc(3),
    "disc 5": disc(5),
    "motion 7": motion(7),
    "motion 11": motion(11),
    "motion 17": motion(17),
}


def taken(gray: np.ndarray, noise: np.ndarray | float = 0.0) -> np.ndarray:
    """A gray picture as a camera leaves it: noise, 8 bits, three channels."""
    values = np.clip(np.round(gray + noise), 0, 255).astype(np.uint8)
    return np.repeat(values[..., None], 3, axis=2)


def blurred(gray: np.ndarray, kernel: np.ndarray) -> np.ndarray:
    return ndimage.convolve(gray, kernel, mode="reflect")


def exposed(gray: np.ndarray, stops: float) -> np.ndarray:
    """Brighter or darker by so many stops of light (sRGB taken as a power of 2.2)."""
    return 255 * np.clip((gray / 255) ** 2.2 * 2.0**stops, 0, 1) ** (1 / 2.2)
