/** What `screens/desk/erasing.ts` says. */

export const things = '{n, plural, one {# value or photo} other {# values and photos}}'
export const erased = 'Erased. The record of it stays.'
export const withdrawn = 'Withdrawn: {because}'
export const dueNow = 'To be erased now.'
export const dueFrom = 'To be erased from {due} on. Until then any owner withdraws it.'
export const oneOrdered = '{things} {blobs, plural, one {is} other {are}} ordered erased on {due}: {reason}'
export const ruleComing = 'From {begins} on, what is ordered erased goes after {rule}'
export const moreOrdered = '{rows} erasures are ordered, of {things}; the first on {first}'
export const ruleInWords =
  '{days, plural, one {# day} other {# days}}, no more than {n, plural, one {# value or photo} other {# values and photos}} a day'
export const basisMissing = 'Write what asks for it: the law and its article, or a contract.'
export const daysUnfit =
  'Write a whole number of days, 1 to {mostDays}: the law that asks for erasing allows a month.'
export const perDayUnfit = 'Write a whole number, 1 or more.'
export const keptDaysUnfit = 'Whole days, from 1 to 9999999, such as 3650.'
