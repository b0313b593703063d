/** What `screens/audit/ledger.tsx` says. */

export const notGrown = 'The ledger does not follow what was seen before'
export const onlyGrown = 'The ledger has only grown'
export const records = 'Records'
export const root = 'Root'
export const workshop = 'Workshop'
export const shows = 'What this shows'
export const headsFollow =
  'Each head that this browser was shown was checked against the one before: the older ledger is the start of the newer one.'
export const headsSigned =
  "Each head is signed with the key whose fingerprint stands on the workshop's paper."
export const entriesSigned = 'Each entry that is shown was signed by the key of the device it names.'
export const showsNot = 'What it does not show'
export const notTruth = "That what was signed is true: it was recorded by a device's key."
export const notHolder = 'Who held the device.'
export const notTime =
  "When something happened before the workshop received it: until then only the device's own clock says so."
export const notSameForAll =
  "That another person was shown the same ledger: compare a root with somebody else's, or with a hand-over sheet."
