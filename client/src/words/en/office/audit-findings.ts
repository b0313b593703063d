/** What `screens/office/audit-findings.tsx` says. */

export const open = '{n, plural, =0 {No finding is open} one {# finding is open} other {# findings are open}}'
export const none = 'Nothing was found by an auditor.'
export const found = 'Found {at} by {who}'
export const ofJob = 'about {job}'
export const aJob = 'a job'
export const ofWorkshop = 'about the workshop'
export const answered = 'The workshop, {who}, {at}:'
export const noAnswer = 'No answer yet.'
export const closed = 'Closed {at} by {who}{saysMore, select, true {:} other {.}}'
export const stillOpen = 'Open.'
export const notHere = 'The words are not here.'
