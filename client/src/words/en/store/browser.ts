/** What `store/browser.ts` says. */

export const nothingCouldBeKeptHere =
  'Nothing could be kept here. A private window often has none: use an ordinary one.'
export const nothingCouldBeSignedHere = 'Nothing could be signed here. Bring the browser up to date.'
export const filesOfTheAppsOwn = 'Files of the app’s own'
export const whatIsWrittenLiesHere =
  'What is written lies here once, not twice: if the browser damages it before it is in the workshop, it is lost. Send it often.'
export const serviceWorker = 'A service worker'
export const appDoesNotOpenWithout = 'The app does not open without a line. Keep it open while there is none.'
export const sendingInTheBackground = 'Sending in the background'
export const whatWaitsIsSentWhile = 'What waits is sent while the app is open.'
export const sayOverTheScreen = 'A say over the screen'
export const itGoesDark = 'It goes dark by the phone’s own clock.'
export const codesAreTypedAndPhotos = 'Codes are typed, and photos are picked from files.'
