/**
 * What `bag/verify` says, here and on the server.
 * Written by `python -m twoturns.words.phone`: change the server's catalogue, not this.
 */

export const notFromLedger = 'Whoever made this bag did not take it from the ledger as it is. {again}'
export const otherEditionHint =
  'This program makes another, so it was not checked. Read this one instead: the page made now, with --report FILE.'
export const nothingLeftOut =
  'the bag holds every entry of the job that the workshop held, and every statement and neighbour that the workshop put beside them'
export const sameLedger = 'The ledger is the very one of the checkpoint that was kept'
export const grewOutOf = 'The ledger of {size} records grew out of the one whose head is {code}'
export const theFile = 'the file itself'
export const jobNeverOpened = 'no record opens the job {job}'
export const workshopKnown = 'The workshop is the one whose fingerprint is known'
export const unreadRecords =
  'What records {unread} say: a newer program wrote them. They stand in the ledger as they are here; update this program to have them judged'
export const record = 'record {index}: {fact}'
export const otherWorkshop = 'it is of another workshop, {workshop}'
export const deviceNotInvited = 'no invitation in the bag leads to device {device}'
export const deviceDidNotSign = 'the key of device {device} did not sign it'
export const recordsSigned =
  '{records} records are signed by {devices} keys, and each key goes back, by invitations, to the first key of workshop {workshop}'
export const keyRecovered =
  "The workshop's key was recovered by the key on paper: what an earlier one stated from record {size} up to record {index} does not count here"
export const unprovenKey =
  "That nobody else had the workshop's key when this bag was made: a recovery since then would stand in a newer bag only."
export const otherFingerprint = 'the bag is of workshop {workshop}, the fingerprint given is {key}'
export const blobsAsSigned = '{signed} photos and private values have the bytes that were signed'
export const otherProcedure = 'its hash is {found}, the job was opened with {signed}'
export const procedureAsOpened = 'The procedure is the one the job was opened with, to the byte'
export const noWorkshopKey = 'the bag holds no key of the workshop'
export const pathsOfOtherSize = 'its paths lead to {here} records, the checkpoint has {size}'
export const recordWithoutPath = 'there is no path for record {index}'
export const recordNotInLedger = 'record {index} is not in the ledger that the checkpoint is of'
export const pathWithoutRecord = 'there is a path for record {index}, and no such record'
export const recordsInLedger =
  "The records stand in a ledger of {size} records whose head {headCode} the workshop's key signed"
export const notSigned = 'no key of this workshop signed it'
export const notSignedHint = 'Compare another one.'
export const asOf = 'As of {madeOn}, at {size} records: {nothingLeftOut}'
export const descriptionRight = "The bag's own description is right"
export const photosNotMeasured =
  'Whether {photos, plural, one {# photo is} other {# photos are}} as sharp as {photos, plural, one {its phone} other {their phones}} said: that decodes them all and takes its time. Ask for it with --photos'
export const photosSharp = '{same} photos measured anew are as sharp as their phones said'
export const unprovenSharpness =
  'That the photo {name} of step {step} is as sharp as its phone said: measured anew it is not.'
export const otherEdition = '{account} is of edition {edition}. {readThis}'
export const accountWrong = 'it does not say what the records come to'
export const accountWrongHint =
  'Do not go by it. The page made now, with --report FILE, is made of the records.'
export const accountRight = 'The account says what the records come to'
export const reportRight = 'The report says what the records say'
export const otherForm = '{report} is of form {form}. {readThis}'
export const reportWrongHint = 'Do not go by it. Write the report anew from the records, with --report FILE.'
export const descriptionWrong = 'it does not describe what is in the bag'
export const newerProcedure = 'The procedure: only a newer program knows its form'
export const accountNotMade =
  'What account and page for people say: they are not made anew here. If all else holds, they are the ones that the workshop signed. twoturns verify makes both anew'
