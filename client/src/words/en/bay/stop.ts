/** What `screens/bay/stop.tsx` says. */

export const seen = 'Seen: {fact}'
export const recordedAsSeen = 'Recorded as seen.'
export const itIsSeen = 'It is seen'
