/**
 * What `trade/belt_due` says, here and on the server.
 * Written by `python -m twoturns.words.phone`: change the server's catalogue, not this.
 */

export const intervalUnknown =
  "How long a belt may last there is not known: look it up in the maker's data for this engine."
export const beltUnknown = 'Nobody knows when the belt was changed last: it counts as due now.'
export const soon = 'It is due soon: within {months} months or {km, number} km.'
export const later = 'It is due about {on}, between {earliest} and {latest}, by what was read.'
export const laterByDate = 'It is due on {on}, by its age.'
export const laterByKm = 'It is not due by distance. When it will be is not known: one reading more tells.'
export const warning =
  "{known, select, true {Vehicle {plate}. } other {}}{why} A timing belt that breaks or jumps can destroy the engine without a sign before, and the vehicle stops where it is. We advise to have it changed before it is driven on. If the engine has stopped by itself, do not crank it again. The vehicle maker's data for this engine decide."
