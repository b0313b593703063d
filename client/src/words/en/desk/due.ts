/** What `screens/desk/due.tsx` says. */

export const reading = 'Asking what is due'
export const title =
  '{n, plural, =0 {No belt is due soon} one {One belt is due soon} other {# belts are due soon}}'
export const none = 'No job of this workshop was finished yet: from then on its next belt stands here.'
export const means =
  'From the jobs that were finished here: by the interval of their procedure, and by how far the vehicle goes where its odometer was read here before. The vehicle maker’s own word comes first.'
export const noCustomer = 'no customer named'
export const when = '{urgency, select, over {Over: {when}} soon {Soon: {when}} other {{when}}}'
export const more = 'More belts'
export const saveAsFile = 'Save all as a table (CSV)'
export const columns =
  'plate; VIN; customer; telephone; engine code; fitted on; due at, km; due at, miles; due by date; forecast; earliest; latest; by; km a year; miles a year'
