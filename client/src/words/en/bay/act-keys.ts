/** What `screens/bay/act-keys.tsx` says. */

export const back = 'back'
export const noBack = 'no, back'
export const orderOfWork = 'order of work'
export const notLikeThat = 'it is not like that'
export const onThisPhone = 'on this phone'
