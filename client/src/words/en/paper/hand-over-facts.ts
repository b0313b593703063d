/** What `screens/paper/hand-over-facts.tsx` says. */

export const notHere = 'not on this phone'
