/** What `screens/names.ts` says. */

export const workshop = 'the workshop'
export const somebody = 'somebody'
export const and = '{names} and {last}'
