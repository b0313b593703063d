/** What `screens/app.tsx` says. */

export const twoTurnsIsOpen = 'Two Turns is open in another window. Go on there; this one only shows.'
export const iHaveReadIt = 'I have read it'
export const newerIsReady =
  'A newer Two Turns is ready{unread, plural, =0 {} one {: it reads what this one cannot (# entry)} other {: it reads what this one cannot (# entries)}}.'
export const takeTheNewerOne = 'Take the newer one'
export const noAppCanRead = 'No app here can read {unread, plural, one {# entry} other {# entries}} of {who}.'
export const whatIsShownMayNot =
  " What is shown may not be all: ask what it says. If the workshop's program has just been brought up to date, close all windows of Two Turns and open it again."
export const lookingAtWhatThisPhoneKeeps = 'Looking at what this phone keeps'
export const itsStorageTakesLong = 'Its storage takes long to answer. The screen comes when it has.'
export const writeEverythingToAFile = 'Write everything to a file'
export const thisScreenStopped = 'This screen stopped'
export const whatWasShown = 'What was shown as on this phone is still on it. Open the screen again.'
export const openTheScreenAgain = 'Open the screen again'
