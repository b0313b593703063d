"""
Real photographs for the camera: free ones that scikit-image carries (public domain or CC0).

Whatever is not named here stays out: not every picture in that package has a licence.
"""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
from PIL import Image
from skimage import data

NAMES = ("astronaut", "brick", "camera", "chelsea", "coffee", "grass", "gravel", "text")
FRAME = (1280, 720)


def photograph(name: str) -> Image.Image:
    assert name in NAMES, f"{name} is not among the free pictures"
    return Image.fromarray(getattr(data, name)()).convert("RGB")


def frames() -> list[Image.Image]:
    """Return what stands before the fake camera, one picture a frame."""
    return [photograph(name).resize(FRAME) for name in NAMES]


def photo_file(name: str, path: Path) -> Path:
    """Write a photograph as a phone's camera app would leave it, and return its path."""
    picture = photograph(name)
    picture.save(path, "JPEG", quality=90)
    return path


def is_one_of(photo: bytes, originals: list[Image.Image]) -> bool:
    """Whether a JPEG shows one of these pictures, whatever was lost in coding it anew."""
    seen = thumbnail(Image.open(io.BytesIO(photo)))
    return any(float(np.abs(seen - thumbnail(one)).mean()) < 6 for one in originals)


def thumbnail(picture: Image.Image) -> np.ndarray:
    return np.asarray(picture.convert("L").resize((64, 36)), dtype=float)
