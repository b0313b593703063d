/** What `screens/desk/check-form.tsx` says. */

export const checkOf = 'A check of {tool}'
export const enterTheCheck = 'Enter the check'
export const checkedOn = 'Checked on'
export const beforeTheLast =
  'This is before its last check, of {on}. It is kept all the same, and speaks of what was done between the checks around it.'
export const asFound = 'As it was found'
export const asFoundHint =
  'What it delivered before anybody adjusted it, as the certificate says. Leave it empty where nobody measured that.'
export const setTo = 'Set to, {unit}'
export const delivered = 'Delivered, {unit}'
export const direction = 'Turned'
export const clockwise = 'clockwise'
export const anticlockwise = 'anticlockwise'
export const onePointMore = 'One point more'
export const allowed = 'May be off by, in percent'
export const allowedHint =
  'Of what the tester read. ISO 6789: 4 for a wrench that clicks, 6 up to 10 N·m and for other types. What the certificate says comes first.'
export const isOut =
  '{off}: outside of its limits. What was done with it since the last good check is listed on its page, and phones refuse it until a good check.'
export const isWithin = '{off} at most: within its limits.'
export const until = 'Vehicles followed up by'
export const untilHint = 'A day to keep; it may be left empty.'
export const nextDue = 'Next due'
export const nextDueHint =
  'Where it was put right and is good again. Leave it empty while it is not to be used.'
export const certificate = 'Certificate'
export const certificateHint = 'Its number, if there is one.'
export const certificateFile = 'The certificate itself'
export const certificateFileHint = 'A PDF or a photo of it, if there is one. Auditors read it here.'
export const asShownHint =
  'What it showed before anybody adjusted it, held against something known: melting ice, a gauge block, a tester. Leave it empty where nobody tried that.'
export const reference = 'What was there, {unit}'
export const shown = 'It showed, {unit}'
export const allowedShown = 'May be off by, {unit}'
export const allowedShownHint = 'As its certificate or its maker says.'
