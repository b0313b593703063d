/** What `screens/bay/places.tsx` says. */

export const onlyHere = '{phone} {phone, plural, one {is} other {are}} only on this phone'
export const photosOnlyHere =
  '{photosWaiting} {photosWaiting, plural, one {photo is} other {photos are}} only on this phone'
export const allInWorkshop = 'All are in the workshop'
export const allBackedUp = 'All are backed up'
export const of = '{sent} of {total}'
export const whenSignal = 'when there is a signal'
export const noPhotoWaits = 'No photo waits.'
export const photosWait =
  '{photosWaiting} {photosWaiting, plural, one {photo} other {photos}}, {bytesWaiting}, {photosWaiting, plural, one {waits} other {wait}} as well.'
export const phoneMeans = 'and nowhere else'
export const workshopMeans = 'kept and signed there'
export const backupMeans = 'in a copy of the workshop'
export const writeToFile = 'Write it to a file'
export const forComputer = 'for the workshop’s computer'
export const sendNow = 'Send now'
export const nothingIsFreed = '{counts} Nothing is freed on this phone before it is backed up.'
export const send = 'Send'
export const written = 'The job is written to a file.'
