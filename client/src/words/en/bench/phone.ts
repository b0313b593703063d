/** What `screens/bench/phone.tsx` says. */

export const onThePhone = 'On the phone, step {number}'
export const draft = 'draft'
