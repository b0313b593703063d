/** What `screens/bay/stage.tsx` says. */

export const goOn = 'go on'
export const inMiles = 'It counts miles'
