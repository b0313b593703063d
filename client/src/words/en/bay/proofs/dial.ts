/** What `screens/bay/proofs/dial.tsx` says. */

export const oneLess = 'one mark less'
export const oneMore = 'one mark more'
export const scale = 'Scale: {label}'
export const notMoved = 'no figure yet'
export const typeIt = 'Type it'
