/** What `screens/bench/list-form.tsx` says. */

export const add = 'Add one to {label}'
