/** What `screens/bay/places.tsx` says. */

export const areOnlyOnThisPhone = '{phone} {phone, plural, one {is} other {are}} only on this phone'
export const photosAreOnlyOnThisPhone =
  '{photosWaiting} {photosWaiting, plural, one {photo is} other {photos are}} only on this phone'
export const allAreInTheWorkshop = 'All are in the workshop'
export const allAreBackedUp = 'All are backed up'
export const of = '{sent} of {total}'
export const whenThereIsASignal = 'when there is a signal'
export const noPhotoWaits = 'No photo waits.'
export const photosWaitAsWell =
  '{photosWaiting} {photosWaiting, plural, one {photo} other {photos}}, {bytesWaiting}, {photosWaiting, plural, one {waits} other {wait}} as well.'
export const andNowhereElse = 'and nowhere else'
export const keptAndSignedThere = 'kept and signed there'
export const inACopyOfTheWorkshop = 'in a copy of the workshop'
export const back = 'back'
export const writeItToAFile = 'Write it to a file'
export const forTheWorkshopsComputer = 'for the workshop’s computer'
export const sendNow = 'Send now'
export const nothingIsFreed = '{counts} Nothing is freed on this phone before it is backed up.'
export const send = 'Send'
export const jobIsWrittenToAFile = 'The job is written to a file.'
