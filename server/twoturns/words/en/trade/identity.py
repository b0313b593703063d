"""What `trade/identity` says, here and on the phone."""

VIN_UNCHECKED = "This vehicle number does not carry a check character."
VIN_UNCHECKED_HINT = "Compare it with the number at a second place on the vehicle."
VIN_HOLDS_HIDDEN_HINT = "Characters that hide one another are worth a second look."
NOTHING_MORE_TO_DO = "Nothing more to do."
VIN_HOLDS = "The check character holds."
VIN_CHECK = "Position {position} reads {read}, the other sixteen characters ask for {wanted}."
VIN_CHECK_MARKED_HINT = "Read the number again, the marked places first."
VIN_CHECK_HINT = "Read the number again, one character at a time."
VIN_LENGTH_PARTED_HINT = "Leave out blanks and hyphens."
VIN_LENGTH_HINT = "Read it again from the first character."
VIN_LENGTH = (
    "The vehicle number {length, plural, =0 {is empty} one {has # character} other {has # "
    "characters}}, expected {expected}."
)
VIN_LETTER = "Position {position} reads {letter}, which no vehicle number uses."
VIN_LETTER_MEANT_HINT = "Perhaps it is {meant}."
VIN_LETTER_ALIKE_HINT = (
    "It may only look like the right one. Type the number anew, from the vehicle."
)
VIN_LETTER_HINT = "A vehicle number has digits and the letters A to Z without I, O and Q."
