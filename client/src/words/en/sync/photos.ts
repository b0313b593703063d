/** What `sync/photos.ts` says. */

export const photoProgress = 'photo {i} of {rows}, {gone} of {size}'
export const photoDamaged =
  'The storage of {at, select, desk {this device} other {this phone}} has damaged a photo.'
export const photoDamagedHint = 'Take the photo again. The damaged one is not sent.'
