/** What `screens/desk/permit-draft.ts` says. */

export const dayMissing = 'Choose the day from which it holds, as it stands on the paper.'
export const lastDayUnfit = 'Choose the last day, or leave it empty.'
export const endsBefore = 'It would end before it begins. Look at both days again.'
export const isOver = 'That day is past: such a permit allows nothing. Have it renewed first.'
export const isThere =
  '{isEndless, select, true {There is one already that has no end.} other {There is one already, until {until}.}} Write a later last day, or leave the form.'
