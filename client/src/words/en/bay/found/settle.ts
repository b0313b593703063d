/** What `screens/bay/found/settle.tsx` says. */

export const howIsItSettled = 'How is it settled?'
export const inWords = 'How, in your words'
export const photoOfIt = 'As it is now'
export const settleIt = 'Settle it'
export const isSettled = 'The finding is settled.'
export const extrasLeft =
  '{left, plural, one {# extra that the customer said yes to is} other {# extras that the customer said yes to are}} not ticked: it is settled without.'
