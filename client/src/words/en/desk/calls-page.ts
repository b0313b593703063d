/** What `screens/desk/calls-page.tsx` says. */

export const readingTheCalls = 'Reading the calls.'
export const callsWaiting = '{n, plural, =0 {No call waits} one {One call waits} other {# calls wait}}'
export const isOpened = 'That call has become a job, or is not here yet: look under Jobs.'
export const takeACall = 'Take a call'
export const declined = 'Not wanted'
export const opensOnAPhone =
  'A call stands on every mechanic’s phone among the open jobs, and the job is opened there, at the vehicle: nothing is typed twice.'
export const noPlate = 'no plate'
export const nobodyNamed = 'nobody named'
