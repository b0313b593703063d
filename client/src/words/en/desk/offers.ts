/** What `screens/desk/offers.tsx` says. */

export const waits = '{procedure}, waits for an owner'
export const waitsMeans =
  "{n, plural, one {One house rule is} other {# house rules are}} taken otherwise, on a maker's word or this workshop's. Compare each with the document. Every phone shows it at its step, and it stands in the report."
export const overtaken =
  '{procedure}, waits no longer: edition {published} is published. Hand it in again with a higher edition.'
export const publishIt = 'Publish it'
export const published = 'Published'
