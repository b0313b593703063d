/** What `instruments/pluck-session.ts` says. */

export const noisyHint =
  'Hold the phone within 10 cm of the middle of the span, with engine, fan and compressor off.'
export const cutOff = 'The sound breaks off before the belt has rung out.'
export const cutOffHint = 'Wait a second between one pluck and the next.'
export const notHeard = 'No pluck was heard.'
export const notHeardHint = 'Pluck the span harder, with the phone within 10 cm of it.'
export const noisy = 'The noise here is too loud.'
export const unclear = 'The pitch is not clear.'
export const unclearHint = 'Pluck the middle of the span once, with a finger or a rag on the span beside it.'
export const far = 'The span sounds at about {one} Hz, far from the target.'
export const twoFit =
  'Two readings fit this sound, {one} Hz and {other} Hz: the tension may be far from the target.'
export const farHint = 'Pluck the middle of the span again. If this stays, set the tensioner anew.'
export const farAgain = 'Three plucks in a row fitted two readings: the tension cannot be told this way.'
export const farAgainHint = 'Set the tensioner anew and begin again, or take this reading another way.'
export const differ = 'The three readings lie more than {mostSpreadPercent} % apart.'
export const differHint = 'Leave everything as it is, and pluck the middle of the span three more times.'
export const neverAgree = 'The readings lie too far apart each time: the tension cannot be told this way.'
export const neverAgreeHint = 'Begin again in a quieter place, or take this reading another way.'
