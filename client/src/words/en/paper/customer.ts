/** What `screens/paper/customer.tsx` says. */

export const coming = 'Your page is coming.'
export const noLine = 'The workshop cannot be reached.'
export const noLineHint = 'Try again when there is a line. The page is still there.'
export const title = '{workshop}: what was done to your vehicle'
export const asOf = 'As it stood on {said, date, medium}. This page ends on {until, date, medium}.'
export const erased = 'erased'
export const photoComes = 'The photo is coming.'
export const photoGone = 'This photo was erased, or cannot be had just now.'
export const caution =
  'What the maker of the vehicle says comes first. In doubt ask the workshop before you drive.'
export const foot = 'Signed by the workshop as {foot}.'
export const bagTitle = 'The file that proves it'
export const bagIs =
  'It holds the whole record of this job, signed by who did it. Keep it: it can be checked without the workshop and without a line, and any change to it shows.'
export const bagTake = 'Save the file'
export const bagComes = 'The file is being packed'
export const bagSaved = 'Saved. The page below checks it.'
export const bagCheck = 'The page that checks it: it sends nothing anywhere'
export const bagName = 'belt-record-{day}.zip'
