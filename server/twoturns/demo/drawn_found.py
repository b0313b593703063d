"""What is found beside the work, in the demo's photos."""

from twoturns.demo.canvas import CAST, COOLANT, DARK, PAPER, RUBBER, STEEL, Canvas, shade
from twoturns.demo.drawn_written import Seen


def finding(canvas: Canvas, seen: Seen) -> None:
    """What a job's story says was found: a `hose`, or a tyre."""
    if seen.looks.get("finding") == "hose":
        _hose_and_clamp(canvas)
    else:
        _tyre_at_its_limit(canvas)


def _tyre_at_its_limit(canvas: Canvas) -> None:
    """The tread of a tyre, worn at one edge, and a depth gauge in its groove."""
    canvas.box((-10, -10, 970, 730), (120, 122, 118))
    canvas.box((120, -10, 840, 730), (44, 45, 46))
    for x in (250, 400, 550, 700):
        canvas.box((x, -10, x + 26, 730), (14, 15, 15))
    for y in range(-40, 760, 90):
        for x in (150, 290, 440, 590):
            canvas.line([(x, y), (x + 90, y + 34)], (16, 17, 17), 7)
    canvas.box((735, -10, 840, 730), (92, 92, 88))  # nothing is left of the blocks there
    for y in range(20, 720, 60):
        canvas.line([(745, y), (832, y + 24)], (112, 110, 104), 3)
    canvas.box((330, 240, 640, 330), PAPER, rounded=8)
    canvas.words((485, 286), "0    2    4    6    8  mm", 30, DARK, "mm")
    canvas.line([(392, 318), (392, 400)], (220, 40, 40), 8)
    canvas.box((540, 330, 590, 430), STEEL)


def _hose_and_clamp(canvas: Canvas) -> None:
    """The hose at the thermostat: cracked at its end, its clamp loose, coolant dried below it."""
    canvas.front_of_block()
    canvas.disc((250, 340), 170, shade(CAST, 0.86))
    canvas.box((250, 270, 420, 410), shade(CAST, 1.1), rounded=10)
    canvas.box((400, 240, 1000, 440), RUBBER, rounded=30)
    canvas.line([(430, 262), (980, 262)], (96, 98, 98), 8)
    for n in range(9):
        x = 412 + n * 7
        canvas.line([(x, 300 + n * 13), (x + 60, 308 + n * 12)], (110, 106, 98), 3)
    canvas.box((520, 226, 570, 454), shade(STEEL, 1.2))
    for y in range(236, 450, 12):
        canvas.line([(524, y), (566, y)], shade(STEEL, 0.7), 3)
    canvas.box((560, 196, 640, 250), shade(STEEL, 1.1))
    canvas.bolt((600, 222), 20)
    canvas.stain((470, 462), 40, shade(COOLANT, 1.1), runs_down=120)
