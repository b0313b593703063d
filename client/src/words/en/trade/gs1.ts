/**
 * What `trade/gs1` says, here and on the server.
 * Written by `python -m twoturns.words.phone`: change the server's catalogue, not this.
 */

export const labelBroken = 'The code begins as a GS1 label does, and does not go on as one.'
export const labelBrokenHint = 'Scan it again, or type the lot from the print.'
export const labelRead = 'The label is read.'
export const labelReadHint = 'The lot is not in this code: it is printed beside.'
export const codeEmpty = 'The code is empty, or no text.'
export const codeEmptyHint = 'Scan it again.'
export const labelPlain = "The code is the maker's own: taken as the lot."
export const labelPlainHint = 'Compare it with the lot printed on the box.'
export const labelGtin = 'The item number in the code does not hold.'
export const labelGtinHint = 'Scan it again: the code is damaged.'
export const lotDoubtful = 'The lot {lot} may have run into the next field: compare it with the print.'
export const lotDoubtfulHint = 'Compare it with the print.'
export const nothingMoreToDo = 'Nothing more to do.'
export const gtinLength = '{text} is no trade number: it has 8, 12, 13 or 14 digits.'
export const gtinLengthHint = 'Read it again from the first digit.'
export const gtinCheck = 'The last digit of {digits} is {last}, the others ask for {wanted}.'
export const gtinCheckHint = 'Read it again, one digit at a time.'
