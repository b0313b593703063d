/** What `screens/bay/proofs/photo-taken.tsx` says. */

export const size = '{width} × {height}, {kb} kB{how, select, picked {, picked from a file} other {}}'
export const keepThisPhoto = 'Keep this photo'
export const takeItAgain = 'Take it again'
export const notJudged = 'it cannot be judged here'
export const sharpAndWhole = 'Sharp and whole'
export const lookFullSize = 'Look at it full size'
export const beforeItIsKept = 'before it is kept'
export const howToMove = 'Move it with a finger to its corners. A tap shows the whole of it.'
export const lastChance = 'This cannot be photographed again once the work goes on.'
export const again = 'again'
export const notShown = 'This kind of photo cannot be shown here. It is kept as it is.'
