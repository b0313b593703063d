/** What `screens/bay/look.tsx` says. */

export const recorded = 'Recorded.'
export const itIsSo = 'It is so'
export const lookFirst = 'Look first'
export const thenChooseAbove = 'then choose above'
