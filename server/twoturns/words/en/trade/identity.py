"""What `trade/identity` says, here and on the phone."""

VIN_UNCHECKED = "This vehicle number does not carry a check character."
VIN_UNCHECKED_HINT = "Compare it with the number at a second place on the vehicle."
CHARACTERS_THAT_HIDE_ONE_ANOTHER = "Characters that hide one another are worth a second look."
NOTHING_MORE_TO_DO = "Nothing more to do."
VIN_HOLDS = "The check character holds."
VIN_CHECK = "Position {position} reads {read}, the other sixteen characters ask for {wanted}."
READ_THE_NUMBER_AGAIN = "Read the number again, the marked places first."
READ_THE_NUMBER_AGAIN_ONE = "Read the number again, one character at a time."
LEAVE_OUT_BLANKS_AND_HYPHENS = "Leave out blanks and hyphens."
READ_IT_AGAIN_FROM = "Read it again from the first character."
VIN_LENGTH = (
    "The vehicle number {length, plural, =0 {is empty} one {has # character} other {has # "
    "characters}}, expected {expected}."
)
VIN_LETTER = "Position {position} reads {letter}, which no vehicle number uses."
PERHAPS_IT_IS = "Perhaps it is {meant}."
IT_MAY_ONLY_LOOK_LIKE = (
    "It may only look like the right one. Type the number anew, from the vehicle."
)
VEHICLE_NUMBER_HAS_DIGITS = "A vehicle number has digits and the letters A to Z without I, O and Q."
