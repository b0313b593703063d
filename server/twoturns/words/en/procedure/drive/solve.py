"""What `twoturns/procedure/drive/solve.py` says."""

TENSIONER_ON_TIGHT_SIDE = (
    "the tensioner stands where the {id} pulls the belt, not where it is slack"
)
TENSIONER_ON_TIGHT_SIDE_HINT = (
    "Check 'running' and the order of the wheels: the way the belt runs, the driving one first."
)
WHEEL_NAMED_TWICE = "there are two wheels ''{name}'"
WHEEL_NAMED_TWICE_HINT = "Give each its own name."
BELT_TOOTHLESS = "the belt has none"
BACK_TOOTHLESS = "only the inside of the belt has teeth"
TEETH_UNMATCHED = "this wheel has teeth but {why}"
TEETH_UNMATCHED_HINT = "Give its diameter_mm."
NOT_ONE_STUD = "{tensioners} wheels have a stud, expected one"
NOT_ONE_STUD_HINT = "Give the tensioner its 'stud' and 'eccentric_mm', and no other wheel."
NOTCH_ELSEWHERE = "the belt fits at {angles}, the notch is stated at {notch_deg}° ± {within_deg}°"
NOTCH_ELSEWHERE_HINT = "Check the belt's teeth, the stud, the throw and the notch."
WHEELS_OVERLAP = "{wheel} and {other} overlap by {gap_mm} mm"
WHEELS_OVERLAP_HINT = "Check the places, the sizes and the order of the wheels."
SPANS_CROSS = "the spans that leave {one} and {two} cut each other"
SPANS_CROSS_HINT = "Check the order of the wheels and their sides."
TOO_FEW_IN_MESH = (
    "only {mesh} teeth of {wheel_id} are in mesh, expected at least {least_teeth_in_mesh}"
)
TOO_FEW_IN_MESH_HINT = "Check the places of this wheel and its neighbours."
HOLE_OUTSIDE_WHEEL = (
    "the hole stands {apart_mm} mm from the middle of {wheel_id}, outside its {radius_mm} mm"
)
HOLE_OUTSIDE_WHEEL_HINT = "Holes are placed from the middle of the crankshaft, as the wheels are."
ORDER_INCOMPLETE = "the fitting order does not name each wheel once"
ORDER_INCOMPLETE_HINT = "List these in the order the belt goes on: {names}."
NO_TEETH_TO_COUNT = "this belt has no teeth to count"
NO_TEETH_TO_COUNT_HINT = "Take 'counts' out."
CHECK_MARKS_HINT = (
    "Check the angles of both marks, and count against the run of the belt: along the tight side, "
    "from the mark of 'from' to the mark of 'to'."
)
NAME_NEIGHBOURS_HINT = "Name two wheels that follow each other."
TOLERANCE_TOO_WIDE = "{within} % allows a slack belt"
TOLERANCE_TOO_WIDE_HINT = "Lower it."
