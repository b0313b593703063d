/** What `store/browser.ts` says. */

export const noStorage = 'Nothing could be kept here. A private window often has none: use an ordinary one.'
export const noSigning = 'Nothing could be signed here. Bring the browser up to date.'
export const ownFiles = 'Files of the app’s own'
export const ownFilesLack =
  'What is written lies here once, not twice: if the browser damages it before it is in the workshop, it is lost. Send it often.'
export const serviceWorker = 'A service worker'
export const serviceWorkerLack = 'The app does not open without a line. Keep it open while there is none.'
export const backgroundSync = 'Sending in the background'
export const backgroundSyncLack = 'What waits is sent while the app is open.'
export const wakeLock = 'A say over the screen'
export const wakeLockLack = 'It goes dark by the phone’s own clock.'
export const cameraLack = 'Codes are typed, and photos are picked from files.'
export const lasting = 'Storage that stays'
export const lastingLack =
  'After seven days of use without a visit here it throws away all that this app keeps. Put the app on the home screen, and join from there.'
