"""Parts of an engine close by, in the demo's photos: seals, faces, bores, belts, rollers, seats."""

import math

from twoturns.demo.canvas import (
    CAST,
    CHALK,
    COOLANT,
    DARK,
    OIL,
    PAPER,
    RUBBER,
    STEEL,
    Canvas,
    Colour,
    shade,
)
from twoturns.demo.drawn_written import Seen

_CLOTH: Colour = (176, 184, 190)


def _seal(canvas: Canvas, x: float, y: float, radius: float) -> None:
    """A shaft in its seal."""
    canvas.disc((x, y), radius, shade(CAST, 0.86))
    canvas.ring((x, y), radius * 0.94, radius * 0.24, (70, 42, 34))
    canvas.ring((x, y), radius * 0.74, radius * 0.05, (20, 18, 18))
    canvas.disc((x, y), radius * 0.62, STEEL)
    canvas.box((x - radius * 0.1, y - radius * 0.66, x + radius * 0.1, y - radius * 0.4), DARK)
    canvas.disc((x, y), radius * 0.22, DARK)


def seals_and_weep_hole(canvas: Canvas, seen: Seen) -> None:
    """Both seals and the weep hole, dry or wet."""
    canvas.front_of_block()
    _seal(canvas, 300, 200, 130)
    _seal(canvas, 420, 540, 120)
    canvas.disc((720, 330), 120, shade(CAST, 1.08))
    canvas.bore((720, 430), 15)
    found = seen.looks.get("leaks_found", "")
    if found in ("oil", "both"):
        canvas.stain((300, 330), 46, OIL, runs_down=190)
    if found in ("coolant", "both"):
        canvas.stain((720, 452), 34, COOLANT, runs_down=210)
        canvas.stain((726, 640), 30, shade(COOLANT, 1.25))


def two_camshaft_seals(canvas: Canvas, seen: Seen) -> None:
    """Below both camshaft wheels."""
    canvas.front_of_block()
    for x in (270, 680):
        canvas.disc((x, 60), 220, shade(STEEL, 0.9))
        for turn in range(0, 360, 12):
            angle = math.radians(turn)
            canvas.line(
                [(x + r * math.cos(angle), 60 + r * math.sin(angle)) for r in (205, 226)], DARK, 6
            )
        _seal(canvas, x, 390, 120)
    if seen.looks.get("seals_found") in ("oil", "both"):
        canvas.stain((680, 512), 44, OIL, runs_down=120)


def pump_face(canvas: Canvas) -> None:
    """The face that the pump stands on, scraped clean, its groove and its holes."""
    canvas.light_from_above(0.4)
    canvas.disc((480, 360), 300, (206, 208, 204))
    for radius in range(200, 300, 9):
        canvas.ring((480, 360), radius, 2, (192, 195, 192))
    canvas.ring((480, 360), 214, 16, (120, 122, 120))
    canvas.disc((480, 360), 170, (44, 46, 46))
    canvas.disc((500, 390), 96, (24, 26, 26))
    for n in range(5):
        turn = math.radians(72 * n + 90)
        canvas.bore((480 + 256 * math.cos(turn), 360 - 256 * math.sin(turn)), 21)


def new_seal(canvas: Canvas) -> None:
    """A new seal, flush in its bore, its lip on a clean shaft."""
    canvas.light_from_above(0.4)
    canvas.disc((480, 360), 310, shade(CAST, 1.16))
    canvas.disc((480, 360), 270, (146, 76, 44))
    canvas.ring((480, 360), 262, 8, (186, 110, 70))
    canvas.ring((480, 360), 226, 10, (96, 46, 28))
    canvas.words((480, 118), "TB 42-60-7", 26, (228, 190, 160), "mm")
    canvas.ring((480, 360), 196, 12, (40, 24, 20))
    canvas.disc((480, 360), 180, (184, 190, 192))
    canvas.arc((480, 360), 150, (30, 120), (226, 230, 230), 24)
    canvas.disc((480, 360), 40, DARK)


def _belt_strip(canvas: Canvas, y: float, worn: bool) -> None:
    """A belt laid flat, its teeth up; worn flanks leave round, thin teeth and a frayed edge."""
    colour = (52, 50, 48) if worn else RUBBER
    canvas.box((-20, y, 980, y + 96), colour)
    top, foot = (16, 34) if worn else (26, 38)
    for x in range(-10, 980, 72):
        tooth = [(x, y), (x + 36 - foot + 22, y - 44), (x + top + 22, y - 44), (x + 66, y)]
        canvas.area(tooth, shade(colour, 1.5))
        canvas.line([tooth[1], tooth[2]], shade(colour, 2.8), 4)
    canvas.line([(0, y + 90), (960, y + 90)], shade(colour, 2.2), 3)
    if worn:
        for x in range(14, 960, 31):
            canvas.line([(x, y + 94), (x + (x * 7) % 19 - 9, y + 112 + x % 13)], CHALK, 2)


def old_belt_beside_new(canvas: Canvas, seen: Seen) -> None:
    """Teeth and edges of the old belt, the new one below it."""
    canvas.box((-10, -10, 970, 730), _CLOTH)
    for y in range(0, 720, 16):
        canvas.line([(0, y), (960, y + 3)], shade(_CLOTH, 0.95), 2)
    worn = "belt_teeth_side" in seen.looks
    _belt_strip(canvas, 210, worn)
    _belt_strip(canvas, 500, worn=False)
    canvas.line([(300, 345), (920, 345)], PAPER, 3)


def failed_belt(canvas: Canvas) -> None:
    """A belt that gave way, as it hangs: teeth gone, cords out."""
    canvas.front_of_block()
    canvas.disc((480, 60), 210, shade(STEEL, 0.9))
    canvas.line([(300, 120), (290, 420), (360, 560)], RUBBER, 60)
    canvas.line([(660, 120), (680, 330)], RUBBER, 60)
    for n in range(11):
        x = 340 + n * 6
        canvas.line([(x, 556), (x + (n * 37) % 70 - 20, 620 + (n * 23) % 60)], CHALK, 4)
        canvas.line([(654 + n * 5, 326), (640 + (n * 41) % 90, 390 + (n * 29) % 70)], CHALK, 4)
    for y in range(150, 410, 34):
        if y % 3:
            canvas.box((322, y, 344, y + 18), shade(RUBBER, 1.6))


def what_wore_it(canvas: Canvas) -> None:
    """The roller that wore the belt, and the new one beside it."""
    canvas.box((-10, -10, 970, 730), _CLOTH)
    for x, said, rim in ((260, "OLD", (112, 84, 60)), (700, "NEW", (206, 210, 210))):
        canvas.disc((x, 330), 190, rim)
        canvas.ring((x, 330), 150, 10, shade(rim, 0.7))
        canvas.disc((x, 330), 70, DARK)
        canvas.disc((x, 330), 44, shade(STEEL, 1.1))
        canvas.box((x - 70, 580, x + 70, 650), PAPER)
        canvas.words((x, 615), said, 44, DARK, "mm")
    for n in range(9):
        turn = math.radians(40 * n + n * n)
        ends = [(260 + r * math.cos(turn), 330 + r * math.sin(turn)) for r in (156, 186)]
        canvas.line(ends, (44, 32, 24), 5)


def roller_seats(canvas: Canvas) -> None:
    """The seats of tensioner and idler, blown clean, and the bore of the stud."""
    canvas.front_of_block()
    for x, y, radius in ((270, 250, 110), (640, 460, 120)):
        canvas.disc((x, y), radius, (208, 210, 206))
        for ring in range(40, round(radius), 8):
            canvas.ring((x, y), ring, 2, (194, 197, 194))
        canvas.bore((x, y), 30)
    canvas.box((560, 120, 820, 200), (150, 152, 146), rounded=12)
    canvas.box((600, 140, 700, 180), (30, 32, 32), rounded=8)


def lug_in_slot(canvas: Canvas) -> None:
    """The tensioner's lug in the slot of the block."""
    canvas.front_of_block()
    canvas.disc((400, 380), 240, shade(STEEL, 1.15))
    canvas.ring((400, 380), 190, 10, shade(STEEL, 0.8))
    canvas.disc((400, 380), 90, shade(STEEL, 0.75))
    canvas.bolt((400, 380), 54)
    canvas.box((600, 330, 860, 440), (24, 26, 26), rounded=14)
    canvas.box((590, 346, 800, 424), shade(STEEL, 1.25), rounded=6)
    canvas.line([(610, 352), (790, 352)], (232, 234, 234), 4)


def behind_the_wheel(canvas: Canvas, seen: Seen) -> None:
    """Through the port with a lamp: the edge of the crankshaft wheel, and what lies behind it."""
    canvas.box((-10, -10, 970, 730), (96, 100, 100))
    canvas.disc((480, 360), 320, (58, 62, 62))
    canvas.disc((300, 440), 210, shade(STEEL, 1.3))
    for turn in range(-70, 80, 7):
        angle = math.radians(turn)
        canvas.line(
            [(300 + r * math.cos(angle), 440 + r * math.sin(angle)) for r in (196, 216)], DARK, 5
        )
    canvas.arc((300, 440), 210, (-60, 70), (214, 218, 218), 6)
    canvas.ring((480, 360), 384, 66, (96, 100, 100))
    canvas.ring((480, 360), 322, 10, (136, 140, 140))
    if "port" in seen.looks:
        for n in range(14):
            y = 300 + n * 13
            canvas.line([(640, y - 40), (540, y), (470 + n * 3, y + 30)], (196, 190, 176), 3)
        canvas.line([(690, 250), (560, 340), (500, 420)], RUBBER, 24)


def ribs_on_wheels(canvas: Canvas) -> None:
    """Ribbed wheels seen from their front edge, the belt's ribs in the grooves."""
    canvas.front_of_block()
    for x in (60, 380, 700):
        canvas.box((x, 140, x + 210, 620), shade(STEEL, 1.05), rounded=10)
        for y in range(160, 610, 24):
            canvas.line([(x + 6, y), (x + 204, y)], shade(STEEL, 0.5), 5)
        canvas.box((x + 34, 130, x + 176, 630), RUBBER)
        for rib in range(6):
            left = x + 44 + rib * 22
            canvas.box((left, 130, left + 12, 630), shade(RUBBER, 1.9))
            canvas.line([(left + 3, 130), (left + 3, 630)], (150, 150, 148), 2)


def belt_after_running(canvas: Canvas) -> None:
    """The edges of the auxiliary belt after it ran: whole, in the middle of its wheel."""
    canvas.light_from_above(0.4)
    canvas.box((180, -10, 780, 730), shade(STEEL, 1.1))
    for x in range(190, 780, 30):
        canvas.line([(x, 0), (x, 720)], shade(STEEL, 0.6), 5)
    canvas.box((270, -10, 690, 730), (40, 41, 42))
    for y in range(30, 720, 180):
        canvas.words((480, y), "6 RIBS  1 095", 34, (188, 186, 176), "mm")
    for x in (276, 684):
        canvas.line([(x, 0), (x, 720)], (132, 132, 130), 4)


def strands(canvas: Canvas) -> None:
    """What was found of the old belt, laid end to end beside a rule."""
    canvas.box((-10, -10, 970, 730), _CLOTH)
    for n, y in enumerate((150, 230, 310, 390)):
        bends = [(x, y + 14 * math.sin(x / (70 + 9 * n))) for x in range(40, 920 - 60 * n, 20)]
        canvas.line(bends, RUBBER, 26)
        canvas.line(bends, (96, 96, 94), 3)
        x, end = bends[-1]
        for thread in range(5):
            canvas.line(
                [(x, end - 8 + 4 * thread), (x + 34, end - 20 + 10 * thread)], (120, 118, 110), 3
            )
    canvas.box((30, 520, 930, 610), (226, 196, 92))
    for n in range(90):
        x = 40 + n * 10
        canvas.line([(x, 522), (x, 560 if n % 10 == 0 else 540)], DARK, 2)
        if n % 10 == 0:
            canvas.words((x + 4, 566), str(n), 28, DARK)


def rag(canvas: Canvas) -> None:
    """A white rag that was drawn along the wheels, and what it brought."""
    canvas.box((-10, -10, 970, 730), (74, 78, 76))
    canvas.area([(140, 120), (700, 70), (850, 330), (760, 640), (260, 660), (100, 420)], PAPER)
    for fold in (0, 90, 200):
        canvas.line([(170 + fold, 140), (300 + fold, 380), (280 + fold, 640)], (206, 204, 194), 7)
    canvas.stain((560, 300), 70, (62, 62, 60))
    for n in range(16):
        canvas.disc((380 + n * 21, 420 + (n * 47) % 90), 4, (40, 40, 38))
