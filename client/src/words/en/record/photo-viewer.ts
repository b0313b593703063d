/** What `screens/record/photo-viewer.tsx` says. */

export const photos = 'Photos'
export const close = 'Close'
export const previous = 'Previous'
export const next = 'Next'
export const compare = 'Keep beside'
export const place =
  'Photo {at} of {all}{isBeside, select, true {, beside photo {kept}} other {}}. The arrow keys go on and back.'
export const coming = 'The photo is coming.'
export const factsCome = 'Its record is coming.'
export const notInItsJob =
  'The workshop lists this photo, and the record of its job, as it was checked here, has no such entry. Go by the record, and tell the owner.'
export const saveOriginal = 'Save the original'
export const toItsStep = 'To its step'
export const toItsJob = 'To its job'
