"""What `twoturns/cli/calc/belts.py` says."""

BELT_NEEDS_ECCENTRIC = "--belt-teeth and --eccentric go together"
TEETH_FROM_ONE = "teeth are counted from one up"
ECCENTRIC_ANGLE = "eccentric, angle {at}"
MM_PER_DEGREE = "mm a degree"
ANGLE_AT_TRAVEL_END = "Angle {at} is at the end of travel: turning further hardly tightens."
BELTS_FIT = "belts that fit"
BELTS_LOOK_ALIKE = "The pointer alone cannot tell these belts apart: count the teeth."
FIGURES_AT_ANGLE_1 = "Wraps, teeth in mesh and spans are those of angle 1."
NEEDS_TWO_MARKS = "teeth are counted from one --mark to another: give two or more"
WHEELS_OVERLAP = (
    "{one_id} and {other_id} overlap: their middles are {apart} mm apart, and their "
    "radii are {radius_mm} mm together"
)
NOT_A_MARK = "{text} is no mark, expected NAME:DEGREES of one of the wheels"
TEETH_IN_MESH = "  teeth in mesh"
FEW_TEETH_IN_MESH = "{name}: fewer than {least_in_mesh} teeth in mesh may jump."
SMALL_WRAP = "{name}: a wrap of less than {least_wrap_deg}° may jump."
SPAN_BEHIND = "  span behind it"
PITCH_NOT_POSITIVE = "--pitch-mm must be above zero, got {pitch_mm}"
NOT_A_WHEEL = "{text} is no wheel, expected NAME:X,Y:22t or NAME:X,Y:30mm:out"
WHEEL_SIZE_NOT_POSITIVE = "{text} is no wheel: its size must be above zero"
NEEDS_TWO_WHEELS = "a belt goes round two wheels or more, each with a name of its own"
NOT_AN_ECCENTRIC = "{text} is no eccentric, expected NAME:THROW of one of the wheels"
TOOTH_AT_CRANK = "a tooth at the crank"
MARKS_MEET_AFTER = "paint marks meet after"
TURNS_OF_CRANK = "turns of the crank"
PAINT_MARKS_APART = (
    "Paint marks that do not meet after two turns are no fault; wheel marks must meet."
)
WHEEL_IS_BACK_EVERY = "{teeth} teeth: mark and hole back every"
ALL_ARE_BACK_EVERY = "all wheels together back every"
NOT_BACK_AFTER_TWO_TURNS = (
    "After two turns of the crank a wheel of {teeth} teeth stands elsewhere: "
    "its mark is not up, and its lock does not go in."
)
