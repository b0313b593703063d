"""What `twoturns/trade/drive.py` says."""

DRIVE_ERROR_HINT = "Check the wheels' places, sizes, sides and their order along the belt."
NOT_ROUND_HINT = (
    "A wheel that the belt misses is on the wrong side of it, or the order is not the belt's."
)
BELT_DOES_NOT_FIT_HINT = "Check the belt's teeth, the stud's place and the throw of the eccentric."
MARK_OFF_BELT_HINT = "Teeth can only be counted to a mark under the belt: check its angle."
NO_SUCH_SPAN = "no span leads from {start} to {end}: they do not follow each other"
TURNS_AMISS = "the belt turns through {turned}° in all, expected {turn}°"
WHEELS_TOUCH = "no straight span from {a_id} to {b_id}: the wheels touch or overlap"
BELT_DOES_NOT_FIT = (
    "a belt of {belt_mm} mm does not fit: the eccentric reaches {low_mm} to {high_mm} mm"
)
NO_ANGLE_FITS = "the belt does not go round at any angle of the eccentric"
MARK_OFF_BELT = "the mark of {wheel} at {mark_deg}° is not under the belt"
SPAN_FROM_TO = "the span from {one} to {other}"
