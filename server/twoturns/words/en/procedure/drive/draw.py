"""What `twoturns/procedure/drive/draw.py` says."""

DRIVE_SEEN_BELT_END = "The drive, seen from the belt end."
IS_IN = "is in"
ARE_IN = "are in"
IS_OUT = "is out"
ARE_OUT = "are out"
MAY_OUT = "may be in or out"
OFF_ENGINE = "Off the engine: {listed}."
LOOK_AT = "Look at {listed}."
PLUCK_SPAN = "Pluck the span from the {one} to the {other}."
TIGHTEN_BELT_TURNS = "To tighten the belt, the {label} turns {tightens}."
BELT_GOES_ORDER = "The belt goes on in this order: {order}."
SLACK_OVER_TIGHT_THERE_BACK = (
    "It is slack from the {belt_order} over {over} to the {end}, and tight from there "
    "back to the {belt_order}."
)
TEETH_MARK = "{teeth} teeth from the mark of the {one} to that of the {other}."
BELT_WORDS = {
    "old": "The old belt is on.",
    "new": "The new belt is on.",
    "off": "The belt is off.",
}
