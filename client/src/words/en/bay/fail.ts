/** What `screens/bay/fail.tsx` says. */

export const whatIsItLike = 'What is it like?'
export const itIsSo = 'It is so'
export const recordedThen = 'Recorded. What to do comes next.'
export const pinsIn = '{toPutIn, plural, one {the pin is} other {# pins are}} in: hold'
export const chooseAbove = 'Choose above'
export const putPinsIn =
  'On the board, and have to be in their holes first: {toPutIn}. Put them in by hand, then hold: they are then off the board.'
export const writeNote = 'write a note for the owner'
export const foundSomething = 'Found something'
export const besideTheWork = 'beside this step: a leak, wear, a thread, a tyre'
export const noneOfThese = 'None of these'
export const beginWith1 = 'Begin with 1'
export const goThere = 'Go there'
export const goOn = 'Go on'
