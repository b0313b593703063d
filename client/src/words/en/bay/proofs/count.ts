/** What `screens/bay/proofs/count.tsx` says. */

export const of = '{count} of {target}'
export const toGo = '{target} to go'
export const tooMany = 'too many'
export const oneLess = 'one less'
export const ofTarget = 'of {target}'
export const oneMore = 'one more'
