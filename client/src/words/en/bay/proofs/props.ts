/** What `screens/bay/proofs/props.ts` says. */

export const itHolds = 'it holds'
export const onThisPhone = 'on this phone'
