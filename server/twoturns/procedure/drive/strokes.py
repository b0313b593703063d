"""What the drive's drawing is made of: circles, paths and texts, by the names of their colours."""

from __future__ import annotations

import math
from typing import Any

from twoturns.procedure.drive.sheet import n1

Shape = dict[str, Any]


def ray(x: float, y: float, mdeg: float, start: float, end: float) -> str:
    """A line outward from a middle, between two radii in px."""
    dx, dy = math.cos(math.radians(mdeg / 1000)), -math.sin(math.radians(mdeg / 1000))
    return f"M{n1(x + start * dx)} {n1(y + start * dy)}L{n1(x + end * dx)} {n1(y + end * dy)}"


def circle(x: float, y: float, r: float, **drawn: Any) -> Shape:
    """Return a circle, px, and how it is drawn."""
    return {"kind": "circle", "cx": x, "cy": y, "r": r, **drawn}


def path(d: str, **drawn: Any) -> Shape:
    """Return a path in SVG's own words, and how it is drawn."""
    return {"kind": "path", "d": d, **drawn}


def text(x: float, y: float, size: int, fill: str, text: str, *, halo: bool) -> Shape:
    """Return a word whose foot begins at x and y, px; a halo keeps it off the lines behind."""
    return {"kind": "text", "x": x, "y": y, "size": size, "fill": fill, "halo": halo, "text": text}
