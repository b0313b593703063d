/** What `screens/app.tsx` says. */

export const openElsewhere = 'Two Turns is open in another window. Go on there; this one only shows.'
export const iHaveReadIt = 'I have read it'
export const newerReady =
  'A newer Two Turns is ready{unread, plural, =0 {} one {: it reads what this one cannot (# entry)} other {: it reads what this one cannot (# entries)}}.'
export const takeNewer = 'Take the newer one'
export const takingOver =
  'The newer Two Turns is taking over. If it does not come, close all windows of Two Turns and open it again.'
export const unreadable = 'No app here can read {unread, plural, one {# entry} other {# entries}} of {who}.'
export const unreadableHint =
  " What is shown may not be all: ask what it says. If the workshop's program has just been brought up to date, close all windows of Two Turns and open it again."
export const opening = 'Looking at what this phone keeps'
export const storageSlow = 'Its storage takes long to answer. The screen comes when it has.'
export const writeToFile = 'Write everything to a file'
export const screenStopped = 'This screen stopped'
export const screenStoppedHint = 'What was shown as on this phone is still on it. Open the screen again.'
export const openAgain = 'Open the screen again'
