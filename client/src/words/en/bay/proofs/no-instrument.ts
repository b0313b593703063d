/** What `screens/bay/proofs/no-instrument.tsx` says. */

export const noOtherWay =
  'There is no other way to take this reading here. Add a note for the owner in the order of work.'
export const tryItAgain = 'Try it again'
export const backToTheStep = 'Back to the step'
