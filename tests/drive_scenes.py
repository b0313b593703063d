"""Scenes that the phone draws: a solved drive, what the engine is like, what to show of it."""

from drive_blocks import RIBBED_DRIVE, VAN_DRIVE
from twoturns.procedure.drive.solve import drive

VAN = drive(VAN_DRIVE)
RIBBED = drive(RIBBED_DRIVE)
TAGS = {"l1": "L1", "l2": "L2", "l3": "L3"}
ALL_IN = {"crank": True, "cam": True, "pump": True}
ALL = [wheel["id"] for wheel in VAN["wheels"]]


def state(belt="new", pins=(), gone=()):
    """The phone's DriveState (`drive-sheet.ts`)."""
    return {"belt": belt, "pins": dict(pins), "gone": list(gone)}


def view(width=360, height=420, look=(), tags=(), **shown):
    """The phone's DriveView: the box in px, and what to show in it."""
    return {"width": width, "height": height, "look": list(look), "tags": dict(tags)} | shown


SCENES = {
    "all pins in, look at the tensioner": (
        VAN,
        state("new", ALL_IN),
        view(218, 340, ["tensioner"], TAGS),
    ),
    "one pin in, look at it": (
        VAN,
        state("new", {"crank": True, "cam": False, "pump": False}),
        view(226, 350, ["l1"], TAGS),
    ),
    "small, pluck": (VAN, state("new", ALL_IN), view(140, 215, tags=TAGS, pluck=True)),
    "one pin not known, old belt": (
        VAN,
        state("old", {"crank": True, "cam": None}),
        view(200, 330, tags=TAGS),
    ),
    "three looked at": (
        VAN,
        state("new", ALL_IN),
        view(360, 420, ["crank", "cam", "pump"], TAGS),
    ),
    "the belt goes on": (VAN, state("off", ALL_IN), view(360, 420, ALL, TAGS, fitting=True)),
    "the belt goes on, small": (VAN, state("off"), view(332, 190, ALL, TAGS, fitting=True)),
    "the belt is on, its order": (VAN, state("old"), view(360, 420, tags=TAGS, fitting=True)),
    "the loupe": (VAN, state("new", ALL_IN), view(332, 300, ["tensioner", "cam"], loupe=True)),
    "the loupe, small": (VAN, state("new"), view(196, 190, ["tensioner"], loupe=True)),
    "no loupe of a roller that is off": (
        VAN,
        state("new", {}, ["tensioner"]),
        view(332, 300, loupe=True),
    ),
    "everything": (VAN, state("old"), view(480, 480, tags=TAGS, fitting=True, loupe=True)),
    "everything is looked at": (VAN, state("new"), view(332, 150, ALL)),
    "belt and rollers off": (
        VAN,
        state("off", ALL_IN, ["tensioner", "idler", "water_pump"]),
        view(360, 400, ["idler"], {}),
    ),
    "a ribbed belt goes on": (RIBBED, state("off"), view(332, 190, fitting=True, loupe=True)),
    "a ribbed belt": (RIBBED, state("new"), view(332, 300, ["compressor"], pluck=True)),
}
