/** What `screens/desk/erase-form.tsx` says. */

export const seeErasing = 'See when it is erased, or withdraw it.'
export const ordered = 'Ordered. It is hidden from all but owners now. {when}'
export const erasePrivateValues = 'Erase private values {of}'
export const orderTheErasure = 'Order the erasure'
export const erasureMeans =
  'They are hidden from all but owners at once, and erased after the delay: in the workshop, in its next backup, and on phones when they sync. Any owner withdraws it until then. The record that something stood there stays.'
export const what = 'What'
export const valuesOnly = 'VIN, plate, names, words and signatures: {values}'
export const valuesAndPhotos = 'these, and photos and recordings: {values}'
export const why = 'Why'
export const staysInLedger = 'It stays in the ledger for everybody: no names.'
export const onWhatBasis = 'On what basis'
export const basisHint = 'The law and its article, or a contract.'
