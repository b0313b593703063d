/** What `screens/bay/reopen.tsx` says. */

export const isOpenAgain = '{number} is open again.'
export const it = 'it'
export const doAgain = 'Do {number} again?'
export const whyFirst = 'Why first'
export const oneSentence = 'one sentence'
export const openAgain = 'Open {number} again'
export const breaksSeals = 'breaks {numbers} {numbers, plural, one {seal} other {seals}}'
export const onThisPhone = 'on this phone'
export const breaksSealsOf = 'This breaks {n, plural, one {the seal of} other {the seals of}} {numbers}.'
export const breaksNoSeal = 'This breaks no other seal.'
export const whyAgain = 'Why is it to be done again?'
