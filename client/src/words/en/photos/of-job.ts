/** What `screens/photos/of-job.tsx` says. */

export const reading = 'The job is read.'
export const notHere = 'This job is not here yet'
export const photoNamed = '{label}{isEarlier, select, true {, before it was taken again} other {}}'
export const title = 'All photos of'
export const toTheJob = 'To the job'
export const count =
  '{n, plural, =0 {No photo was taken.} one {# photo.} other {# photos, in the order of the steps.}}'
export const heading =
  '{workshop}: photos of one job, {at}. Each is proven by its own record, in the evidence bag of the job.'
export const more = '{n, plural, one {# more} other {# more}}'
