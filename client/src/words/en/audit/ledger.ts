/** What `screens/audit/ledger.tsx` says. */

export const notGrown = 'The ledger does not follow what was seen before'
export const onlyGrown = 'The ledger has only grown'
export const asking = 'Asking the workshop for its head'
export const noAnswer = 'The workshop does not answer'
export const records = 'Records'
export const root = 'Root'
export const workshop = 'Workshop'
export const keep = 'Keep this head as a file'
export const keepMeans =
  'Next year it shows whether the ledger only grew: with twoturns verify --checkpoint, or on the page that checks bags.'
export const fileName = 'two-turns-checkpoint_{size}.txt'
export const shows = 'What this shows'
export const whatToDo = 'What to do'
export const writeDown =
  'Write down the size and the root that stand here, and the time. This browser keeps what it saw before.'
export const askWhy =
  'Ask the owner whether a backup was put back. Then records that were promised can be missing, and phones bring them again; an acceptance in the ledger says so for ever.'
export const takeNothing =
  'Until that is clear draw no sample and take no bag away: what is shown now is not what was shown before.'
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
  "That another person was shown the same ledger: keep this root, and compare it with somebody else's, or with the head that stands in a bag."
