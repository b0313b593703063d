"""What `instruments/marks` says, here and on the phone."""

SPAN_UNFIT = "Tips {span} teeth apart do not fit a wheel of {teeth} teeth."
SPAN_UNFIT_HINT = "Tap two tips about {teeth} teeth apart, with the mark between them."
OFF_CENTRE = "The wheel is too near the edge of the photo."
OFF_CENTRE_HINT = "Take a photo with this wheel in the middle."
TAPS_UNFIT = "These taps do not make a wheel."
TAPS_UNFIT_HINT = (
    "Tap the middle of the wheel first, then one tooth tip on either side of the mark."
)
TOO_SMALL = "The wheel is too small on the screen to be tapped truly."
TAKE_THE_PHOTO_FROM_CLOSER = "Take the photo from closer."
MAKE_THE_PHOTO_LARGER = "Make the photo larger with the loupe, then tap again."
MARK_OUTSIDE = "The mark is not between the two tooth tips."
MARK_OUTSIDE_HINT = "Tap one tip on either side of the mark."
PHOTO_LOOKS_DEGREES_PAST = (
    "The photo looks {tilt} degrees past the wheel's axis; {most} is the most."
)
COUNT_THE_TEETH_BETWEEN = (
    "Count the teeth between the tips again. If the count is right, take the photo square on "
    "to the wheel."
)
TILT_UNCLEAR = "Five taps do not show whether the photo is square on."
TILT_UNCLEAR_HINT = "Tap two more tooth tips, on the far side of the wheel."
FAR_APART = "Mark and pointer stand {apart} teeth apart, too far for a photo."
FAR_APART_HINT = "Count the teeth from the pointer to the mark by hand."
MARK_AND_POINTER = "Mark and pointer are in line, {apart} tooth apart."
PHOTO_ALONE_PROVES_NOTHING = "The photo alone proves nothing: the pins and the two turns do."
MARK_STANDS_ONE_TOOTH_OUT = "The mark stands one tooth out, {side} of the pointer."
SET_THE_BELT_ANEW_BEFORE = "Set the belt anew before anything is tightened."
MARK_AND_POINTER_ARE_TOOTH = (
    "Mark and pointer are {apart} tooth apart: neither in line nor one tooth out."
)
TAKE_THE_PHOTO_AGAIN_SQUARE = "Take the photo again, square on and closer."
