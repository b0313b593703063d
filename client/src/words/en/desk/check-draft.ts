/** What `screens/desk/check-draft.ts` says. */

export const nominalUnfit = 'Write what it was set to: a number above 0.'
export const foundUnfit = 'Write what the tester read: a number, like 18.2.'
export const foundFar =
  '{found} is far from {nominal}. Look at the certificate again; 0 means that it held nothing.'
export const pointTwice = 'This point stands here twice in one direction. Leave one out.'
export const allowedUnfit = 'Write a number above 0, like 4.'
export const untilUnfit = 'Choose a day, or leave it empty.'
export const untilBefore = 'This day is before the check.'
export const referenceUnfit = 'Write what was there: a number, like 100 or -20.'
export const shownUnfit = 'Write what it showed: a number, like 101.5.'
