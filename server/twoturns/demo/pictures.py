"""
Pictures for the demo's photos: the drive of the bundle as a lamp would show it, close to where the
step looks. Drawn, never photographed; each says so in a corner.
"""

import io
import math
from collections.abc import Mapping
from typing import Any, Final

from PIL import Image, ImageChops, ImageDraw, ImageFilter, ImageFont

from twoturns.demo.scripted_measures import WHEEL_SHARE
from twoturns.demo.scripted_phone import Photo
from twoturns.words import t
from twoturns.words.en.demo import pictures as words

WIDTH, HEIGHT = 960, 720
_STEEL: Final = (74, 84, 86)
_DARK: Final = (31, 36, 37)
_BELT: Final = (18, 20, 20)
_PAINT: Final = (255, 138, 60)
_CHALK: Final = (226, 224, 210)


class Camera:
    """Takes the pictures of one bundle's steps."""

    def __init__(self, bundle: Mapping[str, Any]) -> None:
        self._drive = bundle["drive"]
        self._steps = {one["id"]: one for one in bundle["steps"]}
        self._wheels = {one["id"]: one for one in self._drive["wheels"]}
        self._bay = _bay()
        self._shots = 0
        self._small, self._large = (ImageFont.load_default(size) for size in (22, 34))

    def photo(self, step: str, name: str) -> Photo:
        """Return the photo that a step asks for under a name; no hand holds twice alike."""
        self._shots += 1
        image = ImageChops.offset(self._bay, 7 * self._shots % WIDTH, 0)
        draw = ImageDraw.Draw(image)
        said = self._steps[step]
        asked: Mapping[str, Any] = next((one for one in said["proof"] if one["name"] == name), {})
        x_um, y_um, px_per_um = self._view(step, asked.get("wheel"))
        # A wheel whose mark is tapped stands where the taps are.
        shake = 0.0 if "wheel" in asked else (self._shots * 7 % 23 - 11) / px_per_um
        self._draw_drive(draw, (x_um + shake, y_um - shake / 2, px_per_um))
        self._write(draw, f"{said['number']}  {asked.get('label', name)}")
        out = io.BytesIO()
        image.save(out, "JPEG", quality=72)
        return Photo(out.getvalue(), WIDTH, HEIGHT)

    def _view(self, step: str, wheel: str | None) -> tuple[float, float, float]:
        """Return the middle in um and the px per um: of the wheel looked at first, or of all."""
        look = [wheel] if wheel else self._steps[step]["look"]
        looked_at = [self._wheels[one] for one in look if one in self._wheels]
        wheels = looked_at[:1] or list(self._wheels.values())
        left = min(one["x_um"] - one["r_um"] for one in wheels)
        right = max(one["x_um"] + one["r_um"] for one in wheels)
        low = min(one["y_um"] - one["r_um"] for one in wheels)
        high = max(one["y_um"] + one["r_um"] for one in wheels)
        px_per_um = 2 * WHEEL_SHARE * min(WIDTH / (right - left), HEIGHT / (high - low))
        return (left + right) / 2, (low + high) / 2, px_per_um

    def _draw_drive(self, draw: ImageDraw.ImageDraw, view: tuple[float, float, float]) -> None:
        middle_x, middle_y, px_per_um = view

        def at(x_um: float, y_um: float) -> tuple[float, float]:
            return (
                WIDTH / 2 + (x_um - middle_x) * px_per_um,
                HEIGHT / 2 - (y_um - middle_y) * px_per_um,
            )

        path = self._drive["path"]
        thick = max(6, round(5_000 * px_per_um))
        for here, there in zip(path, [*path[1:], path[0]], strict=True):
            draw.line([at(*here["out"]), at(*there["in"])], fill=_BELT, width=thick)
        for wheel in self._drive["wheels"]:
            x, y = at(wheel["x_um"], wheel["y_um"])
            radius = wheel["r_um"] * px_per_um
            box = (x - radius, y - radius, x + radius, y + radius)
            draw.ellipse(box, fill=_STEEL, outline=_BELT, width=thick // 2)
            draw.ellipse(
                (x - radius / 4, y - radius / 4, x + radius / 4, y + radius / 4), fill=_DARK
            )
            if "mark_mdeg" in wheel:
                turn = math.radians(wheel["mark_mdeg"] / 1000)
                tip = (x + radius * math.cos(turn), y - radius * math.sin(turn))
                root = (x + radius * 0.7 * math.cos(turn), y - radius * 0.7 * math.sin(turn))
                draw.line([root, tip], fill=_PAINT, width=max(3, thick // 3))

    def _write(self, draw: ImageDraw.ImageDraw, label: str) -> None:
        draw.rectangle((0, HEIGHT - 64, WIDTH, HEIGHT), fill=_DARK)
        draw.text((24, HEIGHT - 50), label, fill=_CHALK, font=self._large)
        draw.text((WIDTH - 190, 18), t(words.CAPTION), fill=_CHALK, font=self._small)


def _bay() -> Image.Image:
    """The engine bay behind the drive: dark, with the cone of a lamp and some grain."""
    lamp = Image.radial_gradient("L").resize((WIDTH, HEIGHT))
    light = Image.composite(
        Image.new("RGB", (WIDTH, HEIGHT), (38, 43, 44)),
        Image.new("RGB", (WIDTH, HEIGHT), (122, 124, 116)),
        lamp,
    )
    grain = Image.effect_noise((WIDTH, HEIGHT), 40).filter(ImageFilter.GaussianBlur(1))
    return Image.blend(light, Image.merge("RGB", (grain,) * 3), 0.12)
