/** What `screens/bench/fields.tsx` says. */

export const takeOut = 'Take out'
export const add = 'Add'
