"""Where the vehicle stands and what carries it, in the demo's photos: pads, stands, prop, road."""

from twoturns.demo.canvas import DARK, RUBBER, STEEL, Canvas, Colour, shade

_BODY: Colour = (186, 190, 186)
_LIFT: Colour = (52, 96, 150)
_WOOD: Colour = (196, 154, 98)
_GRASS: Colour = (112, 136, 84)
_CONE: Colour = (232, 96, 32)


def _sill(canvas: Canvas) -> None:
    """The lower edge of the body, with the arrow at its lifting point."""
    canvas.box((-10, -10, 970, 730), (74, 78, 78))
    canvas.box((-10, 60, 970, 300), _BODY)
    canvas.line([(0, 120), (960, 120)], shade(_BODY, 1.2), 10)
    canvas.box((-10, 300, 970, 346), shade(_BODY, 0.7))
    for x in range(20, 960, 60):
        canvas.disc((x, 324), 7, shade(_BODY, 0.5))
    canvas.area([(480, 290), (450, 240), (510, 240)], DARK)


def pad_at_point(canvas: Canvas) -> None:
    """The pad of a lift's arm under the lifting point."""
    _sill(canvas)
    canvas.box((370, 346, 590, 420), RUBBER, rounded=12)
    for x in range(384, 590, 26):
        canvas.line([(x, 352), (x, 414)], (76, 78, 78), 5)
    canvas.box((430, 420, 530, 520), STEEL)
    for y in range(430, 520, 14):
        canvas.line([(432, y), (528, y + 6)], shade(STEEL, 0.6), 4)
    canvas.area([(-20, 560), (540, 510), (560, 620), (-20, 690)], _LIFT)
    canvas.line([(0, 590), (540, 536)], shade(_LIFT, 1.6), 5)


def stand_under_point(canvas: Canvas) -> None:
    """Two stands under their points, the nearer one whole."""
    _sill(canvas)
    for x, grown in ((470, 1.0), (820, 0.6)):
        top = 348
        canvas.box((x - 60 * grown, top, x + 60 * grown, top + 34 * grown), RUBBER, rounded=6)
        canvas.box((x - 20 * grown, top + 34 * grown, x + 20 * grown, top + 150 * grown), STEEL)
        for n in range(4):
            y = top + (52 + 24 * n) * grown
            canvas.line([(x - 18 * grown, y), (x + 18 * grown, y + 8 * grown)], DARK, 4)
        foot = top + 350 * grown
        legs = [(x - 26 * grown, top + 120 * grown), (x + 26 * grown, top + 120 * grown)]
        canvas.area([*legs, (x + 130 * grown, foot), (x - 130 * grown, foot)], (196, 44, 36))
        canvas.area(
            [(x, top + 190 * grown), (x + 60 * grown, foot - 20), (x - 60 * grown, foot - 20)],
            (74, 78, 78),
        )


def prop_under_engine(canvas: Canvas) -> None:
    """A prop with a block of wood on it carries the engine at its sump."""
    canvas.box((-10, -10, 970, 730), (66, 70, 70))
    canvas.area([(120, -10), (860, -10), (800, 250), (180, 250)], (150, 152, 146))
    for x in range(230, 800, 90):
        canvas.line([(x, 0), (x - 8, 240)], (120, 122, 118), 12)
    for x in range(200, 800, 80):
        canvas.bolt((x, 236), 15)
    canvas.box((310, 262, 670, 350), _WOOD)
    for y in (280, 300, 318, 336):
        canvas.line([(314, y), (666, y - 4)], shade(_WOOD, 0.76), 3)
    canvas.box((400, 350, 580, 386), STEEL)
    canvas.box((452, 386, 528, 740), shade(STEEL, 1.12))
    for y in range(400, 720, 22):
        canvas.line([(454, y), (526, y + 9)], shade(STEEL, 0.6), 4)


def _road(canvas: Canvas) -> None:
    """A road and its verge under a bright sky."""
    canvas.box((-10, -10, 970, 300), (196, 206, 212))
    canvas.area([(0, 290), (260, 240), (560, 280), (960, 230), (960, 330), (0, 330)], (96, 116, 84))
    canvas.box((-10, 320, 970, 740), (108, 110, 110))
    canvas.area([(0, 360), (300, 330), (420, 740), (-10, 740)], _GRASS)
    for n in range(5):
        x = 620 + n * 60
        canvas.area(
            [
                (x, 350 + 70 * n),
                (x + 16, 350 + 70 * n),
                (x + 46, 400 + 70 * n),
                (x + 20, 400 + 70 * n),
            ],
            (232, 232, 224),
        )


def _vehicle(canvas: Canvas, x: float, y: float, colour: Colour) -> None:
    canvas.area(
        [(x, y), (x + 20, y - 90), (x + 70, y - 150), (x + 250, y - 150), (x + 260, y)], colour
    )
    canvas.area(
        [(x + 40, y - 92), (x + 78, y - 138), (x + 140, y - 138), (x + 140, y - 92)], (48, 58, 64)
    )
    canvas.box((x + 152, y - 138, x + 238, y - 92), (48, 58, 64))
    for wheel in (x + 60, x + 206):
        canvas.disc((wheel, y), 38, RUBBER)
        canvas.disc((wheel, y), 17, STEEL)
    canvas.box((x + 2, y - 60, x + 22, y - 36), (244, 180, 40))


def _cone(canvas: Canvas, x: float, y: float, size: float) -> None:
    canvas.area(
        [
            (x - size * 0.1, y - size),
            (x + size * 0.1, y - size),
            (x + size * 0.34, y),
            (x - size * 0.34, y),
        ],
        _CONE,
    )
    canvas.area(
        [
            (x - size * 0.17, y - size * 0.62),
            (x + size * 0.17, y - size * 0.62),
            (x + size * 0.24, y - size * 0.38),
            (x - size * 0.24, y - size * 0.38),
        ],
        (240, 240, 236),
    )
    canvas.box((x - size * 0.42, y, x + size * 0.42, y + size * 0.1), shade(_CONE, 0.7))


def scene_behind_barrier(canvas: Canvas) -> None:
    """The scene from behind the barrier: the car at the edge, the triangle behind it."""
    _road(canvas)
    _vehicle(canvas, 360, 430, (150, 60, 52))
    canvas.area([(730, 520), (770, 440), (810, 520)], (206, 30, 36))
    canvas.area([(752, 510), (770, 470), (788, 510)], (240, 240, 236))
    for x in (120, 520, 900):
        canvas.box((x, 560, x + 40, 740), shade(STEEL, 0.9))
    canvas.box((-10, 580, 970, 660), shade(STEEL, 1.2))
    canvas.line([(0, 606), (960, 606)], shade(STEEL, 0.7), 8)
    canvas.line([(0, 636), (960, 636)], shade(STEEL, 1.5), 5)


def van_and_cones(canvas: Canvas) -> None:
    """The van behind the car as a shield, and the cones that lead past it, from the verge."""
    _road(canvas)
    _vehicle(canvas, 250, 400, (150, 60, 52))
    canvas.box((560, 200, 850, 440), (226, 176, 40), rounded=12)
    canvas.box((600, 230, 700, 310), (48, 58, 64))
    for x in range(560, 850, 48):
        canvas.area([(x, 400), (x + 24, 360), (x + 48, 360), (x + 24, 400)], (196, 36, 36))
    for x in (620, 790):
        canvas.disc((x, 446), 42, RUBBER)
    for x, y, size in ((890, 520, 90), (800, 600, 120), (650, 690, 150)):
        _cone(canvas, x, y, size)
