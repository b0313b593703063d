/** What `screens/paper/sheet.tsx` says. */

export const title = '{workshop}: what was done to your vehicle'
export const code = 'Job {code}'
export const notHere = 'erased, or not on this device'
export const signHere = 'Received by the driver:'
export const signatureGone = 'Signed; the drawing of it was erased, or is not on this device.'
export const agreedSince = 'What was agreed after this signature is not covered by it.'
export const scan =
  'This code opens your own page with the same words and the photos that were chosen for you, until {until}. Whoever has it can read them.'
export const caution =
  'What the maker of the vehicle says comes first. Work on an engine is for those who have learned it; in doubt ask the workshop before you drive.'
