"""What bears writing in the demo's photos: stickers, tags, cans, plates, notes, a tank's marks."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from twoturns.demo.canvas import (
    CHALK,
    COOLANT,
    DARK,
    INK,
    PAINT,
    PAPER,
    STEEL,
    Canvas,
    Colour,
    Point,
    shade,
)
from twoturns.words import t
from twoturns.words.en.demo import drawn as words

_ENAMEL: Colour = (58, 92, 120)
_MANILA: Colour = (222, 190, 132)
_CAN: Colour = (62, 104, 150)


@dataclass(frozen=True)
class Seen:
    """
    What the camera may find on one job.

    Args:
        on: The day.
        odometer_km: What the vehicle shows.
        engine_code: As it stands on the block.
        lot: Of the belt that was fitted; '' where none was.
        due: When the belt is due again: a day, and a reading in km; none without an interval.
        looks: How a thing looks where not as it should, by the name of its photo.
    """

    on: date
    odometer_km: int
    engine_code: str
    lot: str = ""
    due: tuple[date, int] | None = None
    looks: Mapping[str, str] = field(default_factory=dict)


def sticker(canvas: Canvas, seen: Seen) -> None:
    """The change sticker on the frame of a door."""
    canvas.box((-10, -10, 970, 730), _ENAMEL)
    canvas.line([(0, 640), (960, 610)], shade(_ENAMEL, 0.6), 26)
    canvas.line([(0, 655), (960, 625)], shade(_ENAMEL, 1.5), 4)
    label = Canvas(PAPER, width=640, height=420)
    label.box((6, 6, 634, 414), PAPER, rounded=10)
    label.box((6, 6, 634, 92), PAINT, rounded=10)
    label.words((320, 50), t(words.BELT_CHANGED), 44, DARK, "mm")
    _lines(label, _sticker_lines(seen), top=112, apart=72)
    canvas.put(label, (480, 330), 3)


def _sticker_lines(seen: Seen) -> list[tuple[str, str]]:
    lines = [
        (t(words.ON_DAY), _day(seen.on)),
        (t(words.READING), t(words.KM, km=seen.odometer_km)),
        (t(words.LOT), seen.lot),
    ]
    if seen.due:
        on, km = seen.due
        lines.append((t(words.NEXT_DUE), t(words.DUE_BY, on=_day(on), km=km)))
    return lines


def tag(canvas: Canvas, seen: Seen) -> None:
    """A tag of card on the steering wheel."""
    canvas.box((-10, -10, 970, 730), (52, 54, 56))
    canvas.ring((480, 760), 620, 74, (24, 25, 26))
    canvas.line([(300, 120), (330, 210)], CHALK, 5)
    card = Canvas(_MANILA, width=620, height=340)
    card.box((4, 4, 616, 336), _MANILA, rounded=26)
    card.disc((52, 170), 22, (52, 54, 56))
    card.words((110, 30), t(words.AUX_BELT_RENEWED), 42, DARK)
    _lines(card, _sticker_lines(seen)[:2], top=110, apart=70, left=110)
    card.words((110, 262), t(words.LOOK_AGAIN), 34, INK)
    canvas.put(card, (500, 380), -5)


def note_to_driver(canvas: Canvas, seen: Seen) -> None:
    """A page of a pad, written by hand: what stands in for a sticker."""
    canvas.box((-10, -10, 970, 730), (104, 82, 58))
    page = Canvas(PAPER, width=560, height=520)
    for y in range(90, 500, 56):
        page.line([(0, y), (560, y)], (176, 196, 214), 2)
    page.words((40, 38), t(words.BELT_CHANGED), 40, INK)
    for n, (name, said) in enumerate(_sticker_lines(seen)):
        page.words((40, 106 + 56 * n), f"{name}: {said}", 30, INK)
    canvas.put(page, (480, 350), 6)


def pad_of_figures(canvas: Canvas, seen: Seen) -> None:
    """Leaks, cylinder by cylinder, on a page of a pad."""
    canvas.box((-10, -10, 970, 730), (70, 76, 74))
    page = Canvas(PAPER, width=520, height=520)
    page.words((40, 36), f"{seen.engine_code}   {_day(seen.on)}", 34, INK)
    for n, percent in enumerate((9, 11, 8, 10), 1):
        page.line([(0, 30 + 104 * n), (520, 30 + 104 * n)], (176, 196, 214), 2)
        page.words((60, 56 + 104 * n), t(words.CYLINDER, n=n, percent=percent), 46, INK)
    canvas.put(page, (480, 350), -4)


def coolant_can(canvas: Canvas) -> None:
    """The can that the coolant comes from: brand and specification."""
    canvas.box((-10, -10, 970, 730), (120, 122, 114))
    canvas.box((-10, 600, 970, 740), (86, 84, 78))
    canvas.box((250, 130, 710, 660), _CAN, rounded=40)
    canvas.box((430, 60, 530, 140), shade(_CAN, 0.5), rounded=10)
    canvas.line([(560, 140), (660, 140), (690, 220)], shade(_CAN, 0.7), 26)
    canvas.box((290, 250, 670, 590), PAPER, rounded=8)
    canvas.words((480, 300), t(words.COOLANT_BRAND), 56, INK, "mm")
    canvas.box((320, 346, 640, 356), COOLANT)
    canvas.words((480, 408), t(words.CONCENTRATE), 38, DARK, "mm")
    canvas.words((480, 470), t(words.SPECIFICATION), 44, DARK, "mm")
    canvas.words((480, 540), t(words.MIX), 30, DARK, "mm")


def level_in_tank(canvas: Canvas) -> None:
    """The tank, and the coolant in it between its marks."""
    canvas.box((-10, -10, 970, 730), (62, 66, 64))
    canvas.box((220, 130, 740, 640), (214, 214, 196), rounded=70)
    canvas.box((232, 360, 728, 630), COOLANT, rounded=60)
    canvas.box((232, 360, 728, 400), shade(COOLANT, 1.12))
    canvas.line([(232, 362), (728, 358)], shade(COOLANT, 0.7), 5)
    canvas.box((390, 60, 570, 140), (24, 25, 26), rounded=16)
    for x in range(400, 570, 20):
        canvas.line([(x, 70), (x, 132)], (70, 72, 72), 5)
    for y, said in ((290, t(words.MOST)), (450, t(words.LEAST))):
        canvas.line([(560, y), (728, y)], DARK, 7)
        canvas.words((540, y), said, 42, DARK, "rm")


def code_on_block(canvas: Canvas, seen: Seen) -> None:
    """The engine's code, struck into a milled face of the block."""
    for x in range(40, 960, 150):
        canvas.line([(x, 0), (x - 60, 720)], (138, 140, 134), 46)
    canvas.area([(130, 210), (840, 190), (850, 500), (120, 510)], (196, 198, 192))
    for y in range(216, 500, 7):
        canvas.line([(140, y), (836, y - 14)], (186, 188, 182), 2)
    canvas.stamped((484, 310), seen.engine_code, 104)
    canvas.stamped((484, 430), t(words.BLOCK_NUMBER), 46)
    for corner in ((110, 170), (870, 160), (880, 560)):
        canvas.bolt(corner, 34)


def path_plate(canvas: Canvas, seen: Seen) -> None:
    """The plate under the bonnet that shows how the auxiliary belt runs."""
    canvas.box((-10, -10, 970, 730), (44, 48, 50))
    plate = Canvas((232, 228, 206), width=640, height=480)
    plate.box((6, 6, 634, 474), (232, 228, 206), rounded=14)
    plate.words((320, 44), f"{seen.engine_code}   {t(words.BELT_PATH)}", 34, DARK, "mm")
    wheels = {"C": (200, 340, 76), "A": (470, 170, 50), "T": (370, 260, 34), "P": (190, 160, 52)}
    path = [_rim(wheels[one], turn) for one, turn in _AROUND]
    plate.line([*path, path[0]], DARK, 9)
    for name, (x, y, radius) in wheels.items():
        plate.disc((x, y), radius, (206, 202, 182))
        plate.words((x, y), name, 36, DARK, "mm")
    canvas.put(plate, (480, 350), -2)


_AROUND = (("C", 230), ("C", 310), ("T", 200), ("A", 300), ("A", 60), ("P", 100), ("P", 180))


def _rim(wheel: tuple[float, float, float], turn_deg: float) -> Point:
    x, y, radius = wheel
    turn = math.radians(turn_deg)
    return x + radius * math.cos(turn), y - radius * math.sin(turn)


def _lines(
    canvas: Canvas, lines: list[tuple[str, str]], *, top: float, apart: float, left: float = 36
) -> None:
    """Fields printed, what stands in them written by hand."""
    for n, (name, said) in enumerate(lines):
        y = top + apart * n
        canvas.words((left, y + 14), name, 24, (90, 92, 90))
        canvas.words((left + 170, y + 4), said, 38, INK)
        canvas.line([(left + 165, y + 54), (canvas.width - 30, y + 54)], STEEL, 2)


def _day(on: date) -> str:
    return f"{on:%d.%m.%Y}"
