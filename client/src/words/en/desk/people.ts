/** What `screens/desk/people.tsx` says. */

export const roles = {
  mechanic: 'mechanic',
  owner: 'owner',
  auditor: 'auditor',
} as const
export const readingThePeople = 'Reading the people.'
export const title = 'People and their devices'
export const nameNotHere = 'Name not here'
export const invitedUntil = 'Invited, until {until}.'
export const ofThisPerson = 'of this person'
export const deviceSince = 'Device {device}, in since {since}{isThis, select, true {, this browser} other {}}'
export const shutOut = 'Shut out'
export const revoked = 'Revoked'
export const revoke = 'Revoke'
export const revokeDevice = 'Revoke device {device}'
export const revokeIt = 'Revoke it'
export const revokeMeans =
  'It reads nothing from then on. What it still sends is held back until you accept or refuse it. There is no way back: the person is invited anew.'
export const revokeWhyHint = 'Lost, sold, or the person left. It stays in the ledger for everybody: no names.'
export const minutes = {
  10: '10 minutes',
  60: '1 hour',
  1440: '1 day',
} as const
export const nameMissing = 'Write the name, as colleagues know it.'
export const nameTooLong = 'Shorten it to 200 characters.'
export const inviteSomebody = 'Invite somebody'
export const makeTheInvitation = 'Make the invitation'
export const who = 'Who'
export const somebodyNew = 'somebody new'
export const withAnotherDevice = '{name}, with another device'
export const name = 'Name'
export const privateValue = 'A private value: it can be erased later.'
export const comesAs = 'Comes as'
export const standsFor = 'The invitation stands for'
export const values = {
  all: 'all: names, words, VIN, plate',
  vehicle: 'VIN and plate',
  none: 'none',
} as const
export const seesFrom = 'Sees jobs that came in from'
export const seesFromHint = 'Empty: from the first on.'
export const upTo = 'up to'
export const seesUpToHint = 'Empty: those to come as well.'
export const lastDay = 'Last day of looking'
export const lastDayHint = 'Empty: until the device is revoked.'
export const valuesRead = 'Private values to be read'
export const handThisLinkOver = 'Hand this link over'
export const linkMeans = 'It lets one device in, once, until {until}. Whoever has it gets in.'
export const onlyHere = 'The invitation is in this browser only. The link works once the workshop has it.'
export const copied = 'Copied'
export const copyTheLink = 'Copy the link'
export const itIsHandedOver = 'It is handed over'
export const compareFingerprint = 'The person compares this fingerprint with what the device shows:'
export const neverHeardOf = 'Not heard of yet.'
export const lastContact = 'Last contact {at}.'
export const calledAndId = '{called} ({id})'
export const nameDevice = 'Name device {device}'
export const nameIt = 'Name it'
export const deviceNameUnfit = 'Write a name of at most {most} characters.'
export const deviceNameHint =
  'What it is called here, like “van 2, phone”. A private value: it can be erased later.'
