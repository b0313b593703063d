/** What `screens/bay/resume-draft.tsx` says. */

export const goOn = 'Go on with it'
export const whereItStood = 'where it stood'
export const throwAway = 'Throw it away'
export const throwAwayNote = 'another vehicle, or another caller'
export const thenAnew = 'hold: then it begins anew'
export const isGone = 'it is thrown away'
