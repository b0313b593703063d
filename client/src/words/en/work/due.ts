/** What `work/due.ts` says. */

export const aboutBetween = 'about {day}, between {earliest} and {latest}'
export const atTheLatest = 'at the latest on {day}'
export const limit = 'at {km} or on {day}'
export const ownUse =
  '{limit}; its own use is {rate} a year, so the {by, select, distance {distance} other {date}} comes first'
export const readOnce =
  '{limit}; its odometer was read here once, so its own use is not known: with more than {even} a year it is due sooner'
