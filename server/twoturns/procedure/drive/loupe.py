"""
The loupe: the tensioner's face as it must be at the end, its pointer in the notch.

On the drive it is 3 to 6 mm large. Round the eccentric an arrow says which way the tensioner is
turned to tighten the belt; its end is the pointer, so it shows from which side the pointer comes.
"""

from __future__ import annotations

import math

from twoturns.procedure.drive.places import LOUPE_WORD, loupe_word
from twoturns.procedure.drive.sheet import Circle, Sheet, n1
from twoturns.procedure.drive.sides import tightens
from twoturns.procedure.drive.strokes import Shape, circle, path, text

_FACE = 0.9  # of the loupe's radius; the others are parts of the face's
_RIM, _NOTCH_FLOOR = 0.78, 0.95
_HUB, _KEY = 0.36, 0.14
_ARROW = 0.57
_NOTCH_DEG = 8
_ARROW_DEG = (165, 42)  # before the pointer: where the arrow begins, and where its head does


def loupe_shapes(sheet: Sheet, loupe: Circle) -> list[Shape]:
    """Return the shapes of the loupe: leader, rim, and the tensioner's pointer enlarged, px."""
    wheel = sheet.tensioner
    x, y, r = loupe
    tx, ty = sheet.middle(wheel)
    far = math.hypot(x - tx, y - ty)
    ux, uy, edge = (x - tx) / far, (y - ty) / far, sheet.edge(wheel)
    leader = f"M{n1(tx + ux * edge)} {n1(ty + uy * edge)}L{n1(x - ux * r)} {n1(y - uy * r)}"
    word = loupe_word(Circle(x, y, r + 3))
    wx, wy = word.x + word.w / 2, word.y + word.h / 2 + 6.6
    return [
        path(leader, stroke="act", width=3),
        circle(x, y, r, fill="ground", stroke="act", width=4.5),
        *_face_shapes(sheet, Circle(x, y, r * _FACE)),
        text(wx, wy, 19, "act", LOUPE_WORD, halo=True),
    ]


def _face_shapes(sheet: Sheet, face: Circle) -> list[Shape]:
    """The face with its notch, the eccentric on its stud, the pointer, and the way to turn."""
    x, y, r = face
    wheel = sheet.tensioner
    eccentric = wheel["eccentric"]
    notch, pointer = eccentric["notch_mdeg"] / 1000, eccentric["pointer_mdeg"] / 1000
    # The key stands off the middle as on the engine, to the scale of the face.
    grown = r / (wheel["r_um"] - sheet.belt["back_um"])
    kx = x + grown * (eccentric["x_um"] - wheel["x_um"])
    ky = y - grown * (eccentric["y_um"] - wheel["y_um"])
    key = "L".join(_at(Circle(kx, ky, r), 60 * corner, _KEY) for corner in range(6))
    slot = "L".join(
        _at(face, notch + side, reach)
        for side, reach in (
            (-_NOTCH_DEG, _RIM - 0.03),
            (-_NOTCH_DEG, _NOTCH_FLOOR),
            (_NOTCH_DEG, _NOTCH_FLOOR),
            (_NOTCH_DEG, _RIM - 0.03),
        )
    )
    wedge = "L".join(
        _at(face, pointer + side, reach) for side, reach in ((-16, 0.3), (0, 0.9), (16, 0.3))
    )
    return [
        circle(x, y, r, fill="plate", stroke="ink", width=1.8),
        circle(x, y, r * _RIM, fill="ground", stroke="ink", width=1.8),
        path(f"M{slot}", fill="ground", stroke="ink", width=1.8),
        *_arrow_shapes(face, pointer, 1 if tightens(sheet.drive) == "anticlockwise" else -1),
        path(f"M{wedge}Z", fill="ink"),
        circle(x, y, r * _HUB, fill="plate", stroke="ink", width=1.8),
        path(f"M{key}Z", fill="ink"),
    ]


def _arrow_shapes(face: Circle, pointer_deg: float, turn: int) -> list[Shape]:
    """An arrow that comes to the pointer; `turn` is 1 for anticlockwise."""
    start, end = (pointer_deg - turn * before for before in _ARROW_DEG)
    r = n1(face.r * _ARROW)
    tip = end + turn * 22
    return [
        path(
            f"M{_at(face, start, _ARROW)}A{r} {r} 0 0 {int(turn < 0)} {_at(face, end, _ARROW)}",
            stroke="act",
            width=3.6,
        ),
        path(
            f"M{_at(face, end, _ARROW - 0.15)}L{_at(face, end, _ARROW + 0.15)}"
            f"L{_at(face, tip, _ARROW)}Z",
            fill="act",
        ),
    ]


def _at(face: Circle, deg: float, part: float) -> str:
    """A point at an angle, at this part of the face's radius."""
    angle, reach = math.radians(deg), face.r * part
    return f"{n1(face.x + reach * math.cos(angle))} {n1(face.y - reach * math.sin(angle))}"
