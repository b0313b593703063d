/** What `screens/check/index.tsx` says. */

export const title = 'Check an evidence bag'
export const nothingLeaves =
  'Everything is done in this page: nothing is sent, and it asks nobody. Save the page as a file and it works without a line, from the disk, for ever.'
export const saveThisPage = 'Save this page'
export const chooseFile = 'The bag, or the file of several bags (.zip)'
export const fingerprint = 'The workshop’s fingerprint, from paper'
export const fingerprintHint =
  'Without it any workshop could have signed the bag: then only its own words agree.'
export const keptBefore = 'You kept a checkpoint of this workshop?'
export const checkpoint = 'The checkpoint, as it was kept'
export const consistency = 'The workshop’s answer of /api/consistency'
export const consistencyHint =
  'Not needed for a bag that was made since that checkpoint. The address answers without signing in.'
export const check = 'Check it'
export const checking = 'Checking, {percent} %'
export const chooseFirst = 'Choose a file first.'
export const cannotCheck = 'This browser cannot check signatures (Ed25519). Take a newer one.'
export const cannotRead = 'The file could not be read: {error}'

export const holds = 'Whole and unaltered'
export const holdsNot = '{count, plural, one {# thing does} other {# things do}} not hold'
export const notShown = 'Nothing in it was altered, but not all is shown that has to be'
export const asOf = 'As of {madeOn}, at {size} records.'
export const isTrusted = 'Signed by the workshop of that fingerprint.'
export const isAnybodys =
  'Any workshop could have signed it. Compare {workshop} with the fingerprint on paper.'
export const bagsHold = '{whole} of {bags, plural, one {# bag is} other {# bags are}} whole and unaltered'
export const sheetHolds = 'The sample holds; the file has no bags'
export const choiceNotProven =
  'Which jobs are in this file is the word of who made it: nothing proves that none is left out.'

export const keptGoesWithOne =
  'The checkpoint was not looked at: it goes with one bag. Unpack the file and check each by itself.'

export const findings = 'What does not hold'
export const proven = 'Proven'
export const unchecked = 'Not checked'
export const unproven = 'Not proven'
export const neverProven =
  'That what the entries say is true; that the person whose key it was held the device; that a device’s clock was right; what never reached the workshop.'
export const copiesNotProven =
  'Photos that lie under copies are not proven: their bytes are not those that were signed. Ask for the originals.'

export const sample = 'The sample'
export const sampleDrawn =
  '{jobs, plural, one {# job} other {# jobs}} drawn out of {population}, with the word “{word}” (record {drawnAt}), after the list was frozen (record {frozenAt}, at {size} records).'

export const lessTitle = 'What this page leaves out'
export const lessWhat = 'The command twoturns verify does this as well:'
export const lessAccount =
  'it makes the account and the page for people anew out of the records. Here both are only held to the workshop’s signed head of the job; a bag of before edition 2 has no head, and then nothing here says that they are right'
export const lessState = 'it tells in words what state the job is in and what the owner must look at'
export const lessMachine =
  'it looks through the procedure itself, whether its steps and conditions fit together. Here its bytes are compared with what was signed, and its form is read'
export const lessPhotos = 'on request it measures anew how sharp photos are'
export const lessPacking =
  'it unpacks zips of every method that it knows. Here those that are stored or deflated; bags leave stored'
