"""What `twoturns/cli/calc/belts.py` says."""

BELT_TEETH_ECCENTRIC_GO = "--belt-teeth and --eccentric go together"
TEETH_COUNTED_UP = "teeth are counted from one up"
ECCENTRIC_ANGLE = "eccentric, angle {at}"
MM_DEGREE = "mm a degree"
ANGLE_END_TRAVEL_TURNING = "Angle {at} is at the end of travel: turning further hardly tightens."
BELTS_FIT = "belts that fit"
POINTER_ALONE_CANNOT_TELL_THESE = (
    "The pointer alone cannot tell these belts apart: count the teeth."
)
WRAPS_TEETH_MESH_SPANS_THOSE = "Wraps, teeth in mesh and spans are those of angle 1."
TEETH_COUNTED_MARK_ANOTHER_GIVE = "teeth are counted from one --mark to another: give two or more"
OVERLAP_THEIR_MIDDLES_MM_APART = (
    "{one_id} and {other_id} overlap: their middles are {apart} mm apart, and their "
    "radii are {radius_mm} mm together"
)
NO_MARK_EXPECTED_NAME_DEGREES = "{text} is no mark, expected NAME:DEGREES of one of the wheels"
TEETH_MESH = "  teeth in mesh"
FEWER_THAN_TEETH_MESH_MAY = "{name}: fewer than {least_in_mesh} teeth in mesh may jump."
WRAP_LESS_THAN_MAY_JUMP = "{name}: a wrap of less than {least_wrap_deg}° may jump."
SPAN_BEHIND = "  span behind it"
PITCH_MM_MUST_ABOVE_ZERO = "--pitch-mm must be above zero, got {pitch_mm}"
NO_WHEEL_EXPECTED_NAME_X = "{text} is no wheel, expected NAME:X,Y:22t or NAME:X,Y:30mm:out"
NO_WHEEL_SIZE_MUST_ABOVE = "{text} is no wheel: its size must be above zero"
BELT_GOES_ROUND_TWO_WHEELS = "a belt goes round two wheels or more, each with a name of its own"
NO_ECCENTRIC_EXPECTED_NAME = "{text} is no eccentric, expected NAME:THROW of one of the wheels"
TOOTH_CRANK = "a tooth at the crank"
PAINT_MARKS_MEET_AFTER = "paint marks meet after"
TURNS_CRANK = "turns of the crank"
PAINT_MARKS_DO_NOT_MEET = (
    "Paint marks that do not meet after two turns are no fault; wheel marks must meet."
)
