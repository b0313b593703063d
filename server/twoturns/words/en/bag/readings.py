"""What `twoturns/bag/readings.py` says."""

AS_ASKED = "as asked"
NOT_AS_ASKED = "not as asked"
ASKED_FOR = "{low} asked for"
THROUGH_ADAPTOR = "through an adaptor of {adaptor_mm} mm at {angle_deg}°"
FIRST_WRITTEN_DOWN = "first written down as {value}"
HELD_AGAINST = "its device held it against {limits}"
NEVER_ASKED_FOR = "the procedure asks for no such reading"
AT_LEAST = "at least {low}"
NO_LIMIT = "no limit"
AT_MOST = "at most {high}"
WITH_TOOL = "with {tool}"
OR = " or "
AGAINST_LIMITS = "{inside, select, true {inside} other {outside}} {limits}"
FROM_TO = "{low} to {high}"
BY = {
    "pluck": "heard by the phone's microphone",
    "marks": "from marks tapped on a photo",
    "turn": "by the phone's gyro",
    "scan": "read by the phone's camera",
}
