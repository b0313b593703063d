/** What `screens/bay/found/index.tsx` says. */

export const nothingFound = 'Nothing was found beside the work'
export const allFound = 'What was found'
export const foundSomething = 'Found something'
export const withAPhoto = 'note it, with a photo'
export const goOn = 'Go on'
export const notNotedYet = 'seen, and not noted yet'
