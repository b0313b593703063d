/**
 * What `trade/identity` says, here and on the server.
 * Written by `python -m twoturns.words.phone`: change the server's catalogue, not this.
 */

export const vinUnchecked = 'This vehicle number does not carry a check character.'
export const vinUncheckedHint = 'Compare it with the number at a second place on the vehicle.'
export const vinHoldsHiddenHint = 'Characters that hide one another are worth a second look.'
export const nothingMoreToDo = 'Nothing more to do.'
export const vinHolds = 'The check character holds.'
export const vinCheck = 'Position {position} reads {read}, the other sixteen characters ask for {wanted}.'
export const vinCheckMarkedHint = 'Read the number again, the marked places first.'
export const vinCheckHint = 'Read the number again, one character at a time.'
export const vinLengthPartedHint = 'Leave out blanks and hyphens.'
export const vinLengthHint = 'Read it again from the first character.'
export const vinLength =
  'The vehicle number {length, plural, =0 {is empty} one {has # character} other {has # characters}}, expected {expected}.'
export const vinLetter = 'Position {position} reads {letter}, which no vehicle number uses.'
export const vinLetterMeantHint = 'Perhaps it is {meant}.'
export const vinLetterAlikeHint =
  'It may only look like the right one. Type the number anew, from the vehicle.'
export const vinLetterHint = 'A vehicle number has digits and the letters A to Z without I, O and Q.'
