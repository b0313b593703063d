"""What `twoturns/procedure/drive/solve.py` says."""

NOT_MAPPING = "this is not a mapping"
WRITE_NAME_VALUE_HERE = "Write 'name: value' here."
IS_MISSING = "''{field}' is missing"
ADD_HERE = "Add ''{field}:' here."
NOT_TEXT_CHARACTERS = "''{field}' is not a text of 1 to 64 characters"
SHORTEN_IT = "Shorten it."
NOT_NAME = "''{value}' is not a name"
USE_Z_LETTER_FIRST = "Use a-z, 0-9 and _, a letter first."
NOT_WHOLE_NUMBER = "{value} is not a whole number from {least}"
COUNT_AGAIN = "Count it again."
NOT_PAIR = "''{field}' is not a pair"
WRITE_X_Y_MM = "Write ''{field}: [x, y]' in mm."
NOT_LIST = "''{field}' is not a list"
IS_NONE_OF = "''{value}' is none of {listed}"
CHOOSE_OF = "Choose one of {listed}."
MEANS_NOTHING_HERE = "''{field}' means nothing here"
TAKE_OUT = "Take it out."
NOT_NUMBER = "''{value}' is not a number"
WRITE_IT_AS = "Write it as 26.5."
NOT_ABOVE = "{value} is not above {above}"
MEASURE_AGAIN = "Measure it again."
TENSIONER_STANDS_WHERE_PULLS = (
    "the tensioner stands where the {id} pulls the belt, not where it is slack"
)
CHECK_RUNNING_ORDER_WHEELS_WAY = (
    "Check 'running' and the order of the wheels: the way the belt runs, the driving one first."
)
THERE_TWO_WHEELS = "there are two wheels ''{name}'"
GIVE_EACH_OWN_NAME = "Give each its own name."
BELT_NONE = "the belt has none"
ONLY_INSIDE_BELT_TEETH = "only the inside of the belt has teeth"
WHEEL_TEETH_BUT = "this wheel has teeth but {why}"
GIVE_DIAMETER_MM = "Give its diameter_mm."
WHEELS_STUD_EXPECTED = "{tensioners} wheels have a stud, expected one"
GIVE_TENSIONER_STUD_ECCENTRIC = (
    "Give the tensioner its 'stud' and 'eccentric_mm', and no other wheel."
)
BELT_FITS_NOTCH_STATED = (
    "the belt fits at {angles}, the notch is stated at {notch_deg}° ± {within_deg}°"
)
CHECK_BELTS_TEETH_STUD_THROW = "Check the belt's teeth, the stud, the throw and the notch."
OVERLAP_MM = "{wheel} and {other} overlap by {gap_mm} mm"
CHECK_PLACES_SIZES_ORDER_WHEELS = "Check the places, the sizes and the order of the wheels."
SPANS_LEAVE_CUT_EACH = "the spans that leave {one} and {two} cut each other"
CHECK_ORDER_WHEELS_THEIR_SIDES = "Check the order of the wheels and their sides."
ONLY_TEETH_MESH_EXPECTED_LEAST = (
    "only {mesh} teeth of {wheel_id} are in mesh, expected at least {least_teeth_in_mesh}"
)
CHECK_PLACES_WHEEL_NEIGHBOURS = "Check the places of this wheel and its neighbours."
HOLE_STANDS_MM_MIDDLE_OUTSIDE = (
    "the hole stands {apart_mm} mm from the middle of {wheel_id}, outside its {radius_mm} mm"
)
HOLES_PLACED_MIDDLE_CRANKSHAFT = (
    "Holes are placed from the middle of the crankshaft, as the wheels are."
)
FITTING_ORDER_DOES_NOT_NAME = "the fitting order does not name each wheel once"
LIST_THESE_ORDER_BELT_GOES = "List these in the order the belt goes on: {names}."
BELT_NO_TEETH_COUNT = "this belt has no teeth to count"
TAKE_COUNTS_OUT = "Take 'counts' out."
CHECK_ANGLES_BOTH_MARKS_COUNT = (
    "Check the angles of both marks, and count against the run of the belt."
)
NAME_TWO_WHEELS_FOLLOW_EACH = "Name two wheels that follow each other."
ALLOWS_SLACK_BELT = "{within} % allows a slack belt"
LOWER_IT = "Lower it."
