/** What `screens/bay/read-step.tsx` says. */

export const it = 'it'
export const orderOfWork = 'The order of work'
export const readNext = 'Read {number}'
export const doAgain = 'Do {number} again'
export const priceFirst = 'what it breaks is shown first'
export const workOn = 'Work on {number}'
export const whatIsFirst = 'if something comes first, it is said there'
export const sayIt = 'Read it aloud'
export const itAsks = 'What it asks'
export const off = 'Off the tool board: {tools}'
export const on = 'Back on the tool board: {tools}'
export const ask =
  '{kind, select, photo {Photo} reading {Reading} count {Count} wait {Wait} scan {Code} choice {Look} signature {Name} other {Proof}}: {label}{hasWindow, select, true {, {window}} other {}}'
export const oneHold = 'One hold signs it: {act}'
export const backToStep = 'Back to the step'
export const photoComes = 'The photo is coming.'
export const takenAt =
  'Taken {at}, {live, select, true {by this app’s camera} other {picked from the phone}}.'
