/** What `screens/record/photo-facts.tsx` says. */

export const thisPhoto = 'This photo {fact}'
export const photoNamed = '{label}{isEarlier, select, true {, before it was taken again} other {}}'
export const who = 'Who'
export const person =
  '{name}{role, select, mechanic {, mechanic} owner {, owner} auditor {, auditor} other {}}'
export const nameNotHere = 'name not here'
export const device = 'Device'
export const called = ' ({name})'
export const deviceSince =
  ', let in on {since}{isRevoked, select, true {; access taken since: {because}} other {; it may write}}'
export const stands = 'Stands'
export const step = 'Step'
export const edition = '{step}, {name}, edition {edition}'
export const taken = 'Taken'
export const takenAt = '{at}, by the device’s own clock.'
export const received = 'Received'
export const receivedAt = '{at}, by the workshop’s clock'
export const receivedNotTold = 'in the workshop; there is no line to ask when it came'
export const notReceived = 'not yet'
export const how = 'How'
export const howTaken =
  '{isLive, select, true {live: with the camera in the app} other {picked from the phone’s pictures}}'
export const sharpness = 'Sharpness'
export const bytes = 'Bytes'
export const whatItIs =
  '{size}{hasPixels, select, true {, {width} × {height}} other {}}, {type}{compared, select, same {, compared here with the signed hash: the same} damaged {: they are not those that were signed} other {, not compared}}'
export const sha256 = 'SHA-256'
export const itsEntry = 'Its entry'
export const placeOfEntry = '{place}{isInLedger, select, true {, record {index} of the ledger} other {}}'
