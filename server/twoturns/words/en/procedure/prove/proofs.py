"""What `twoturns/procedure/prove/proofs.py` says."""

LIMIT_ON_OLD = "''{step}' holds ''{label}' to a limit, and that part comes off whatever it measures"
LIMIT_ON_OLD_HINT = (
    "Let it be told by a choice, beside the new part, and let an answer that differs say what "
    "comes of it."
)
SETTING_AS_WINDOW = (
    "''{step}' gives ''{label}' a window that is only what a wrench may be off: "
    "a click is not read, it is set"
)
SETTING_AS_WINDOW_HINT = (
    "Leave low and high out: target is what is set. Write a window where the maker gives one that "
    "is wider."
)
PHOTO_UNSAID = "''{step}' wants a photo of ''{label}', and nothing says what must be seen on it"
PHOTO_UNSAID_HINT = "Say it in a sentence of the step, or under hint of the photo."
RED_NOWHERE = "''{step}' takes the answer ''{answer}', and nothing follows from it"
RED_NOWHERE_HINT = (
    "Say in the answer what comes of it (renewed, ordered, told, asked), or let it be ok: no and "
    "give the step a failure."
)
RED_UNCURED_HINT = "Give the step a failure that says what is to be done then."
ASKED_EARLY = "''{step}' asks for ''{label}' before ''{other}'"
ASKED_EARLY_HINT = "Put it after: until then it measures something else."
CURE_OUTSIDE = "a cure of ''{step}' asks for {value} {unit}, which the step itself would refuse"
CURE_OUTSIDE_HINT = "Let the step take what the cure leads to, or cure it another way."
FIGURE_DIFFERS = "''{step}' says {value} N·m, and asks for another torque"
FIGURE_DIFFERS_HINT = "Make the sentence and the torque one figure."
NOTE_DIFFERS = (
    "''{step}' asks for a note of {note} Hz, and the span of the drive sounds between {low} and "
    "{high} Hz by its length, its mass and its tension"
)
NOTE_DIFFERS_HINT = (
    "Measure the wheels again, or take the maker's tension or note: one of them is of another belt."
)
CLEAN_THEN_WET = "{proof}, and ''{step}' wets it again"
CLEAN_THEN_WET_HINT = (
    "Let the wet work come first, prove it clean afterwards, or say under voids that it falls."
)
