/** What `screens/bay/nothing-to-do.tsx` says. */

export const goOn = 'Go on'
