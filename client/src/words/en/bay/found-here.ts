/** What `screens/bay/found-here.tsx` says. */

export const whatWasFound = 'What was found'
export const noteIt = 'seen, and not noted yet: note it'
export const whoDoes = '{name} is on it.'
export const somebody = 'Somebody'
export const twoPlans = 'Two planned it without knowing of each other.'
export const openLine = '{what}: {state}'
export const staysOpen =
  '{n, plural, one {One finding stays} other {# findings stay}} open and {n, plural, one {goes} other {go}} to the customer as advice.'
export const staysAgreed =
  '{n, plural, one {One finding is} other {# findings are}} agreed with the customer and still to be done.'
