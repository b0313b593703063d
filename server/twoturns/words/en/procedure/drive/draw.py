"""What `procedure/drive/draw` says, here and on the phone (`parts/drive-words.ts`)."""

LISTED = "{most} and {last}"
THE = "the {label}"
PIN = "pin {tag}"
FROM_THE_BELT_END = "The drive, seen from the belt end."
BELT = {
    "old": "The old belt is on.",
    "new": "The new belt is on.",
    "off": "The belt is off.",
}
PINS_ARE_IN = "{n, plural, one {Pin {tags} is in.} other {Pins {tags} are in.}}"
PINS_ARE_OUT = "{n, plural, one {Pin {tags} is out.} other {Pins {tags} are out.}}"
PINS_MAY_BE_IN = (
    "{n, plural, one {Pin {tags} may be in or out.} other {Pins {tags} may be in or out.}}"
)
OFF_THE_ENGINE = "Off the engine: {parts}."
LOOK_AT = "Look at {parts}."
PLUCK = "Pluck the span from the {one} to the {other}."
TIGHTENS = (
    "To tighten the belt, the {tensioner} turns "
    "{way, select, clockwise {clockwise} other {anticlockwise}}."
)
ORDER = "The belt goes on in this order: {wheels}."
SLACK = (
    "It is slack from the {first} over {slack} to the {last}, and tight from there back to "
    "the {first}."
)
COUNT = "{teeth} teeth from the mark of the {one} to that of the {other}."
