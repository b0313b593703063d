/** What `screens/desk/erase-form.tsx` says. */

export const seeWhenItIsErased = 'See when it is erased, or withdraw it.'
export const orderedItIsHiddenFrom = 'Ordered. It is hidden from all but owners now. '
export const erasePrivateValues = 'Erase private values {of}'
export const orderTheErasure = 'Order the erasure'
export const theyAreHiddenFromAll =
  'They are hidden from all but owners at once, and erased after the delay: in the workshop, in its next backup, and on phones when they sync. Any owner withdraws it until then. The record that something stood there stays.'
export const what = 'What'
export const vinPlateNamesWordsAndSignatures = 'VIN, plate, names, words and signatures: {values}'
export const theseAndPhotosAndRecordings = 'these, and photos and recordings: {values}'
export const why = 'Why'
export const itStaysInTheLedger = 'It stays in the ledger for everybody: no names.'
export const onWhatBasis = 'On what basis'
export const lawAndItsArticleOr = 'The law and its article, or a contract.'
