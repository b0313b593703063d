"""What `twoturns/trade/drive.py` says."""

CHECK_WHEELS_PLACES_SIZES_SIDES = (
    "Check the wheels' places, sizes, sides and their order along the belt."
)
WHEEL_BELT_MISSES_WRONG_SIDE = (
    "A wheel that the belt misses is on the wrong side of it, or the order is not the belt's."
)
CHECK_BELTS_TEETH_STUDS_PLACE = (
    "Check the belt's teeth, the stud's place and the throw of the eccentric."
)
TEETH_CAN_ONLY_COUNTED_MARK = "Teeth can only be counted to a mark under the belt: check its angle."
NO_SPAN_LEADS_THEY_DO = "no span leads from {start} to {end}: they do not follow each other"
BELT_TURNS_THROUGH_ALL_EXPECTED = "the belt turns through {turned}° in all, expected {turn}°"
NO_STRAIGHT_SPAN_WHEELS_TOUCH = (
    "no straight span from {a_id} to {b_id}: the wheels touch or overlap"
)
BELT_MM_DOES_NOT_FIT = (
    "a belt of {belt_mm} mm does not fit: the eccentric reaches {low_mm} to {high_mm} mm"
)
BELT_DOES_NOT_GO_ROUND = "the belt does not go round at any angle of the eccentric"
MARK_NOT_UNDER_BELT = "the mark of {wheel} at {mark_deg}° is not under the belt"
THE_SPAN_FROM_TO = "the span from {one} to {other}"
