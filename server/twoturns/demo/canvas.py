"""
A canvas for the demo's photos: shapes of metal, rubber and paper, in points of 960 x 720.

It is drawn twice as large as it is looked at, so that edges come out smooth.
"""

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import Final

from PIL import Image, ImageChops, ImageDraw, ImageFilter, ImageFont

WIDTH, HEIGHT = 960, 720
_FINE: Final = 2

Colour = tuple[int, int, int]
Point = tuple[float, float]

STEEL: Final[Colour] = (134, 142, 144)
CAST: Final[Colour] = (158, 160, 154)
DARK: Final[Colour] = (31, 36, 37)
RUBBER: Final[Colour] = (30, 31, 32)
PAPER: Final[Colour] = (240, 237, 226)
INK: Final[Colour] = (26, 34, 66)
PAINT: Final[Colour] = (255, 138, 60)
CHALK: Final[Colour] = (226, 224, 210)
COOLANT: Final[Colour] = (214, 96, 128)
OIL: Final[Colour] = (92, 58, 18)


class Canvas:
    """A picture that is being drawn: y goes down, angles from three o'clock against the clock."""

    def __init__(
        self, ground: Colour = CAST, *, width: float = WIDTH, height: float = HEIGHT
    ) -> None:
        self.width, self.height = width, height
        size = (round(width * _FINE), round(height * _FINE))
        self._image = Image.new("RGB", size, ground)
        self._draw = ImageDraw.Draw(self._image)
        self._fall = 0.0

    def seen(self) -> Image.Image:
        """Return the picture at the size it is looked at."""
        image = self._image.reduce(_FINE)
        if self._fall:
            image = ImageChops.multiply(image, _fall(image.size, self._fall))
        return image

    def disc(self, middle: Point, radius: float, fill: Colour | None, edge: Colour = DARK) -> None:
        self._draw.ellipse(_around(middle, radius), fill=fill, outline=edge, width=2 * _FINE)

    def ring(self, middle: Point, radius: float, thick: float, fill: Colour) -> None:
        self._draw.ellipse(_around(middle, radius), outline=fill, width=round(thick * _FINE))

    def box(self, corners: Sequence[float], fill: Colour, *, rounded: float = 0) -> None:
        self._draw.rounded_rectangle(
            _fine(corners), rounded * _FINE, fill=fill, outline=shade(fill, 0.55), width=2 * _FINE
        )

    def area(self, points: Sequence[Point], fill: Colour) -> None:
        self._draw.polygon([_fine(one) for one in points], fill=fill, outline=shade(fill, 0.55))

    def line(self, points: Sequence[Point], fill: Colour, thick: float) -> None:
        wide = max(1, round(thick * _FINE))
        self._draw.line([_fine(one) for one in points], fill=fill, width=wide, joint="curve")

    def arc(
        self, middle: Point, radius: float, turn: tuple[float, float], fill: Colour, thick: float
    ) -> None:
        """Draw an arc, `turn` from and to in degrees."""
        start, end = -turn[1], -turn[0]
        wide = round(thick * _FINE)
        self._draw.arc(_around(middle, radius), start, end, fill=fill, width=wide)

    def words(
        self, at: Point, said: str, size: float, fill: Colour = DARK, anchor: str = "la"
    ) -> None:
        font = font_of(round(size * _FINE))
        # The font has no narrow space, which groups the digits of a message.
        plain = said.replace("\u202f", " ")
        self._draw.text((at[0] * _FINE, at[1] * _FINE), plain, fill=fill, font=font, anchor=anchor)

    def stamped(self, at: Point, said: str, size: float) -> None:
        """Letters struck into metal: dark, with the light on their lower edge."""
        x, y = at
        self.words((x + 2, y + 2), said, size, (214, 214, 206), "mm")
        self.words(at, said, size, (62, 66, 66), "mm")

    def bolt(self, middle: Point, radius: float) -> None:
        """A hexagon on its washer."""
        self.disc(middle, radius * 1.35, shade(STEEL, 0.82))
        x, y = middle
        turns = [math.radians(60 * n + 12) for n in range(6)]
        corners = [(x + radius * math.cos(a), y + radius * math.sin(a)) for a in turns]
        self.area(corners, STEEL)
        self.disc(middle, radius * 0.45, shade(STEEL, 1.18), STEEL)

    def bore(self, middle: Point, radius: float) -> None:
        """A hole whose upper edge lies in shadow."""
        self.disc(middle, radius, (16, 18, 18))
        self.arc(middle, radius, (200, 340), shade(CAST, 1.3), 3)

    def stain(self, middle: Point, radius: float, fill: Colour, runs_down: float = 0) -> None:
        """Something wet, without an edge; `runs_down` so far below its middle."""
        x, y = middle
        left, top = x - 1.3 * radius, y - 1.3 * radius
        size = (round(2.6 * radius * _FINE), round((2.9 * radius + runs_down) * _FINE))
        mask = Image.new("L", size, 0)
        draw = ImageDraw.Draw(mask)
        draw.ellipse(_around((x - left, y - top), radius), fill=200)
        for n, share in enumerate((1.0, 0.62, 0.8)):
            run = x - left + (n - 1) * radius * 0.55
            foot = y - top + radius * 0.4 + runs_down * share
            box = _fine((run - radius * 0.16, y - top, run + radius * 0.16, foot))
            draw.rounded_rectangle(box, radius * 0.16 * _FINE, fill=225)
        mask = mask.filter(ImageFilter.BoxBlur(max(2, radius * 0.08 * _FINE)))
        self._image.paste(fill, (round(left * _FINE), round(top * _FINE)), mask)

    def light_from_above(self, strength: float) -> None:
        """Let the picture be so much darker (of 1) at its foot than at its top."""
        self._fall = strength

    def front_of_block(self) -> None:
        """The cast front of the engine, with its ribs and a few bolts."""
        for x in (150, 470, 800):
            self.line([(x, 0), (x + 30, 720)], shade(CAST, 1.12), 30)
            self.line([(x + 24, 0), (x + 54, 720)], shade(CAST, 0.78), 10)
        self.light_from_above(0.35)
        for at in ((70, 90), (890, 120), (880, 600), (80, 580)):
            self.bolt(at, 30)

    def put(self, other: "Canvas", middle: Point, turned_deg: float) -> None:
        """Lay another canvas on this one, its middle at a point."""
        mask = Image.new("L", other._image.size, 255)
        both = [
            each.rotate(turned_deg, Image.Resampling.BILINEAR, expand=True)
            for each in (other._image, mask)
        ]
        x, y = _fine(middle)
        corner = (round(x - both[0].width / 2), round(y - both[0].height / 2))
        self._image.paste(both[0], corner, both[1])


def shade(colour: Colour, by: float) -> Colour:
    """Return a colour brighter (above 1) or darker."""
    red, green, blue = (min(255, round(each * by)) for each in colour)
    return red, green, blue


def _fine(numbers: Sequence[float]) -> list[float]:
    return [each * _FINE for each in numbers]


def _around(middle: Point, radius: float) -> list[float]:
    x, y = middle
    return _fine((x - radius, y - radius, x + radius, y + radius))


@lru_cache
def _fall(size: tuple[int, int], strength: float) -> Image.Image:
    gray = Image.linear_gradient("L").resize(size)
    darker = gray.point([255 - round(step * strength) for step in range(256)])
    return Image.merge("RGB", (darker,) * 3)


@lru_cache
def font_of(size: int) -> ImageFont.ImageFont | ImageFont.FreeTypeFont:
    """Return the font that comes with Pillow, in pixels."""
    return ImageFont.load_default(size)
