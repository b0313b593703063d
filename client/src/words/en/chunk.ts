/** What `screens/chunk.tsx` says. */

export const coming = 'Opening the screen'
export const missing = 'This screen is not on this device yet'
export const missingHint =
  'What was shown as on this phone is still on it. The screen comes with the next signal: then it opens by itself, or try again.'
export const tryAgain = 'Try again'
export const back = 'Back to the screen before'
