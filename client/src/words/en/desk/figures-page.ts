/** What `screens/desk/figures-page.tsx` says. */

export const reading = 'Adding up the figures'
export const title =
  '{n, plural, =0 {No figures yet} one {Figures of the one job that was closed} other {Figures of the last # jobs that were closed}}'
export const none = 'From the first job that is closed on, its figures stand here.'
export const since =
  'Closed since {since}. They say where to look, not who is to blame: a count of redos falls fastest where nobody writes them down.'
export const percent = '{n} %'
export const ofAll = '{share} ({n} of {all})'
export const firstTimeRight = 'First time right: {share} ({n} of {jobs} jobs)'
export const firstTimeRightMeans = 'Jobs in which every step held at first and none was opened again.'
export const firstTimeRightByMonth = 'Jobs right at first, by month'
export const monthColumns = 'month; jobs; right at first; with something redone; came back within a year'
export const causes = '{n, plural, =0 {Nothing had to be done twice} other {Why steps did not hold}}'
export const causesLabel = 'How often each cause was written down'
export const causeAt = '{cause} ({step})'
export const causeColumns = 'procedure; step; cause; how often'
export const redone = 'Steps that were done twice'
export const failedAndAgain =
  '{failed, plural, =0 {} one {once not held} other {# times not held}}{again, plural, =0 {} one { opened again once} other { opened again # times}}'
export const minutes = 'Minutes a step'
export const minutesMeans =
  'The middle of the times between the keys Begin and Done of one phone; the thin mark is what one in ten takes longer than. Steps that lay over a pause are not counted.'
export const min = '{n, number} min'
export const stepColumns =
  'procedure; step; jobs; minutes (middle); one in ten takes longer than; not held; opened again'
export const notKnown = 'not known'
export const readings = 'Measured, read, said'
export const readingsMeans =
  'Of all readings: what an instrument of the phone measured and kept, what was read by eye and typed, and what was only said.'
export const measured = 'measured by the phone'
export const readByEye = 'read by eye'
export const said = 'said'
export const readingColumns = 'how; readings; share'
export const comebacks =
  '{n, plural, =0 {No vehicle came back within a year} one {One vehicle came back within a year} other {# vehicles came back within a year}}'
export const comebacksMeans = 'The same VIN, finished here less than a year before.'
export const comeback = 'closed {now}, and before it {before}'
