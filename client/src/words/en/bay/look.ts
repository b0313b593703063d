/** What `screens/bay/look.tsx` says. */

export const recorded = 'Recorded.'
export const orderOfWork = 'order of work'
export const itIsSo = 'It is so'
export const holdToRecord = 'hold to record'
export const onThisPhone = 'on this phone'
export const lookFirst = 'Look first'
export const thenChooseAbove = 'then choose above'
