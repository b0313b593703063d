/** What `screens/record/photo.tsx` says. */

export const workshopsComputer = 'the workshop’s computer'
export const owner = 'an owner'
export const coming = 'coming'
export const photoNamed = '{label}{isEarlier, select, true {, before it was taken again} other {}}'
export const openFullSize = '. Open full size'
export const photo = 'Photo: {label}'
export const closeThePhoto = 'Close the photo'
export const toItsStep = 'To its step{step}'
export const thisPhoto = 'This photo {fact}'
export const photoIsComing = 'The photo is coming.'
export const what = 'What'
export const step = 'Step'
export const edition = '{step}, {name}, edition {edition}'
export const taken = 'Taken'
export const takenAt =
  "{at} by the device's own clock, {how, select, true {with the camera in the app} other {picked from the phone}}"
export const bytes = 'Bytes'
export const whatItIs =
  '{size}, {width} × {height}, {type}{isCompared, select, true {, compared with the signed hash} other {}}'
export const sha256 = 'SHA-256'
export const itsEntry = 'Its entry'
export const placeOfEntry = '{place}{isInLedger, select, true {, record {index} of the ledger} other {}}'
