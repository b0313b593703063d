/** What `sync/bringing.ts` says. */

export const bundleIncomplete =
  'Not all of this procedure is on {at, select, desk {this device} other {this phone}} yet.'
export const bundleIncompleteHint = 'Bring the phone within reach of the workshop until the rest has come.'
export const bundleNotPublished = 'Nobody who may do so has published this procedure.'
export const bundleNotPublishedHint = 'Do not work by it. Tell the owner.'
export const bundleNewer = 'This procedure was made for a newer app than this one.'
export const bundleNewerHint =
  'Update the app: within reach of the workshop, close all its windows and open it again.'
export const bundleDamaged = 'A part of this procedure is not what it was when it was published.'
export const bundleDamagedHint = 'Tell the owner: it has to be published again.'
export const bundleChanged =
  'Something between {at, select, desk {this device} other {this phone}} and the workshop changes what is sent.'
export const bundleChangedHint =
  'Use another network. What had come of this procedure was thrown away, and is fetched again.'
