/** What `store/errors.ts` says. */

export const secondTab = 'Two Turns is open twice, and only the first may write.'
export const secondTabHint = 'Close this one and go on in the other.'
export const seenInFirst =
  'Two Turns is open twice, and only the first can tell what {at, select, desk {this device} other {this phone}} keeps.'
export const seenInFirstHint = 'Go on in the other, or close it: this one goes on by itself then.'
export const notEnrolled =
  '{at, select, desk {This device} other {This phone}} belongs to no workshop yet, so it cannot sign.'
export const notEnrolledHint =
  'Open the invitation on {at, select, desk {this device} other {this phone}} first.'
export const phoneFull =
  'The storage of {at, select, desk {this device} other {this phone}} is full: the last act was not kept. Everything before it was.'
export const phoneFullHint = 'Delete films or apps, then do the last act again.'
export const tooFullToRead =
  'The storage of {at, select, desk {this device} other {this phone}} is so full that what it keeps cannot be looked at.'
export const tooFullToReadHint =
  'Delete films or apps on {at, select, desk {this device} other {this phone}}. It is looked at again by itself.'
export const placeTaken = 'Another window has written in between: the last act was not kept.'
export const placeTakenHint = 'Close the other window, then do the last act again.'
export const cameBack = 'An act from before was put back here, so the last one was not kept.'
export const cameBackHint =
  'Look at what is asked for now. Do the last act again only if it is still missing.'
export const readBackDiffers =
  'The storage of {at, select, desk {this device} other {this phone}} gave back something other than what was written.'
export const readBackDiffersHint =
  'Bring {at, select, desk {this device} other {this phone}} within reach of the workshop before anything else, then go on with another phone.'
export const storageSilent =
  'The storage of {at, select, desk {this device} other {this phone}} does not answer: the last act was not kept.'
export const storageSilentHint = 'Close Two Turns, open it again, and do the last act again.'
export const photosWait =
  'The storage of {at, select, desk {this device} other {this phone}} is full: steps and readings still go in, photos wait.'
export const photosWaitHint =
  'Delete films or apps on {at, select, desk {this device} other {this phone}}, then take the photo again.'
export const keptMidway =
  'The storage of {at, select, desk {this device} other {this phone}} failed in the middle of the last act.'
export const keptMidwayHint =
  'Close Two Turns, open it again, and look whether the last act is there before doing it again.'
export const olderApp =
  'What {at, select, desk {this device} other {this phone}} holds was written by a newer Two Turns than this one.'
export const olderAppHint =
  'Load Two Turns again when there is a signal. Everything can be written to a file until then.'
export const newerWindow = 'A newer Two Turns is open in another window. This one has let go of the storage.'
export const newerWindowHint = 'Go on in the other window, or load this one again.'
export const upgradeBlocked = 'An older Two Turns in another window still holds the storage.'
export const upgradeBlockedHint = 'Close all other windows of Two Turns. This one goes on by itself then.'
