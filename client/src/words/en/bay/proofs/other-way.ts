/** What `screens/bay/proofs/other-way.tsx` says. */

export const anotherWay = 'another way'
