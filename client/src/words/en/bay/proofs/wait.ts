/** What `screens/bay/proofs/wait.tsx` says. */

export const countsOn = 'The time counts on when the phone is locked or switched off.'
export const notCounted = 'It cannot be counted'
export const noUnit = 'no unit'
export const unitUnknown =
  'This procedure states a wait in {unit}; the app counts minutes only. Nothing is recorded. Ask the owner for an edition that states minutes.'
export const itBeginsNow = 'It begins now'
export const waited = '{minutes} {unit} waited'
export const toGo = '{leftMs} to go'
export const of = 'of {low} {unit}'
