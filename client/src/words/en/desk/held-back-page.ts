/** What `screens/desk/held-back-page.tsx` says. */

export const nothingIsHeldBack = 'Nothing is held back'
export const heldBack = 'Held back'
export const askingTheWorkshop = 'Asking the workshop.'
export const heldBackMeans =
  'What a device sends after it was revoked is in the ledger, signed and dated, and nobody is shown it. Accept what an honest hand wrote: it then counts as good, and everybody is given it. Refuse the rest: it stays in the ledger and proves nothing.'
export const device = '{name}, device {device}'
export const fromTo = 'from {first} to {last}'
export const heldEntries =
  '{n, plural, one {# entry} other {# entries}}, {bytes}; came in {first}.{is_shut, select, true { It is shut out: nothing more is taken from it.} other {}}'
export const entries = '{n, plural, one {# entry} other {# entries}}'
export const readingWhatItSent = 'Reading what it sent.'
export const allOfIt = 'all of it'
export const workshopStatements = 'Statements about the workshop'
export const unseenJob = 'A job that nobody has seen: {plate}, {engine}, {odometer}'
export const missingJob = 'A job that is not here'
export const showAll = 'Show all {entries}'
export const acceptWhat = 'Accept {what}'
export const acceptIt = 'Accept it'
export const acceptMeans = 'It counts as good from then on, and everybody is given it. There is no way back.'
export const refuseWhat = 'Refuse {what}'
export const refuseIt = 'Refuse it'
export const refuseMeans =
  'It stays in the ledger and in bags, marked as doubted; nobody is shown it, and you are not asked again.'
export const whyHint = 'It stays in the ledger for everybody: no names.'
export const shutWhyHint =
  'Stolen, or it sends what nobody wrote. It stays in the ledger for everybody: no names.'
export const shutTitleOnDevice = 'Shut it out for good (device {device})'
export const shutTitle = 'Shut it out for good'
export const shutDeviceOut = 'Shut device {device} out'
export const shutItOut = 'Shut it out'
export const shutMeans =
  "Nothing more is taken from it, not even to be held back. What is on it can still come in by a file that it writes, at the workshop's computer. There is no way back."
