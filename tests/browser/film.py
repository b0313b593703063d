"""
Real photographs for the camera: free ones that scikit-image carries (public domain or CC0).

Whatever is not named here stays out: not every picture in that package has a licence.
"""

from __future__ import annotations

import io
import itertools
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
from PIL import Image
from skimage import data

from browser.chromium import camera_film

NAMES = ("astronaut", "brick", "camera", "chelsea", "coffee", "grass", "gravel", "text")
FRAME = (480, 270)
LOOKS = 6


def photograph(name: str) -> Image.Image:
    assert name in NAMES, f"{name} is not among the free pictures"
    return Image.fromarray(getattr(data, name)()).convert("RGB")


def views() -> list[Image.Image]:
    """Return what may stand before the fake camera: each picture, moved a little for each look."""
    return [moved(photograph(name), look) for look in range(LOOKS) for name in NAMES]


class Film:
    """What the fake camera sees. It reads the file anew each time that the app opens it."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._views = itertools.cycle(views())
        self.turn()

    def turn(self) -> None:
        """Put the next picture before the camera."""
        self.show(next(self._views))

    @contextmanager
    def nothing(self) -> Iterator[None]:
        """Let the camera not start for a while, as when another app has it."""
        aside = self.path.with_suffix(".aside")
        self.path.rename(aside)
        yield
        aside.rename(self.path)

    def show(self, picture: Image.Image) -> None:
        """Put this one before it; a camera that is open goes on with what it saw."""
        beside = self.path.with_suffix(".next")
        camera_film([picture], beside).rename(self.path)


def moved(picture: Image.Image, look: int) -> Image.Image:
    width, height = picture.size
    left, top = look * width // 40, look * height // 50
    return picture.crop((left, top, left + width * 3 // 4, top + height * 3 // 4)).resize(FRAME)


def photo_file(name: str, path: Path) -> Path:
    """Write a photograph as a phone's camera app would leave it, and return its path."""
    photograph(name).save(path, "JPEG", quality=90)
    return path


def is_one_of(photo: bytes, originals: list[Image.Image]) -> bool:
    """Whether a photo shows one of these pictures, whatever coding and the camera's range did."""
    seen = thumbnail(Image.open(io.BytesIO(photo)))
    return any(np.corrcoef(seen, thumbnail(one))[0, 1] > 0.95 for one in originals)


def thumbnail(picture: Image.Image) -> np.ndarray:
    return np.asarray(picture.convert("L").resize((64, 36)), dtype=float).ravel()
