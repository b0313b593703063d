/** What `screens/bay/refusal.tsx` says. */

export const first = 'First {title}'
export const passItBy = 'pass it by'
export const goTo = 'Go to {number}'
export const goThere = 'Go there'
export const goOnWith = 'Go on with {number}'
export const doItAgain = 'Do it again'
export const priceFirst = 'its price is shown first'
export const orderOfWorkKey = 'Order of work'
export const then = 'then {title}'
