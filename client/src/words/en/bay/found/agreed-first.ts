/** What `screens/bay/found/agreed-first.tsx` says. */

export const stillToDo =
  '{n, plural, one {Agreed work is still to be done} other {# agreed works are still to be done}}'
export const because =
  'The customer said yes to it. The driver signs for the vehicle as it leaves, so this comes before the signature.'
export const doItFirst = 'Do it first'
export const thenSign = 'then the driver signs'
export const orAskAnew =
  'If it is not done today after all, ask the customer again: open it, and keep what they say now. The sheet then says so before they sign.'
