/** What `work/found-words.ts` says. */

export const ways = {
  call: 'by call',
  message: 'by message',
  signature: 'signed on the glass',
  there: 'there and then',
} as const
export const found = 'Found'
export const foundAt = 'Found at {number}'
export const offered = '{number}: {says}'
export const toBeAsked = 'The customer is to be asked.'
export const moreToAsk = 'Work was added since the customer said yes: ask for it, too.'
export const agreed =
  'The customer says yes, {how}{left, plural, =0 {} one {: # extra to do} other {: # extras to do}}.'
export const refused = 'The customer says no, {how}.'
export const unsure = 'A yes and a no stand beside each other: ask the customer once more.'
export const done = 'Put right.'
export const dropped = 'It asks for nothing.'
export const extraStates = {
  asked: 'to be asked for',
  agreed: 'to do',
  left_out: 'left out',
  done: 'done',
} as const
export const extra =
  '{state}{hasPart, select, true {, part {part}} other {}}{isTimed, select, true {, {minutes} min} other {}}'
