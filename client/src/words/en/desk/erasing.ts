/** What `screens/desk/erasing.ts` says. */

export const things = '{n, plural, one {# value or photo} other {# values and photos}}'
export const erasedTheRecordOfItStays = 'Erased. The record of it stays.'
export const withdrawn = 'Withdrawn: {because}'
export const toBeErasedNow = 'To be erased now.'
export const toBeErasedFrom = 'To be erased from {due} on. Until then any owner withdraws it.'
export const areOrderedErasedOn =
  '{things} {blobs, plural, one {is} other {are}} ordered erased on {due}: {reason}'
export const fromOnWhatIsOrdered = 'From {begins} on, what is ordered erased goes after {rule}'
export const erasuresAreOrdered = '{rows} erasures are ordered, of {things}; the first on {first}'
export const noMoreThanADay =
  '{days, plural, one {# day} other {# days}}, no more than {n, plural, one {# value or photo} other {# values and photos}} a day'
export const writeWhatAsks = 'Write what asks for it: the law and its article, or a contract.'
export const writeAWholeNumber =
  'Write a whole number of days, 1 to {mostDays}: the law that asks for erasing allows a month.'
export const writeAWholeNumber1 = 'Write a whole number, 1 or more.'
