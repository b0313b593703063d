/** What `screens/record/photo-missing.ts` says. */

export const orderedErased = 'To be erased, and not shown any more: ordered'
export const erased = 'Erased'
export const toBeErased = 'to be erased'
export const erasedShort = 'erased'
export const erasureInWords =
  '{what} on {at} by {by}. Reason: {reason}. Basis: {basis}. The record of the photo is here.'
export const noLine = 'no line to the workshop'
export const noLineHint =
  'There is no line to the workshop, and this photo is not kept here. Look again when the line is back: this says nothing of the photo itself.'
export const notGiven = 'not given to this browser'
export const notGivenHint =
  'The workshop does not give this photo to this browser now. What the workshop said stands with the words of the sync.'
export const notArrived = 'not in the workshop yet'
export const notArrivedHint =
  'The bytes of this photo have not reached the workshop yet. Bring the phone that took it near the workshop: it sends them by itself.'
export const damaged = 'altered or missing in the workshop'
export const damagedHint =
  'This photo was altered or is missing on the workshop’s disk. What lies there is not what was signed, and is not shown. Bring the phone that took it near the workshop: if it still has the photo, it sends it again. Or bring it back from a backup.'
export const notShown = 'cannot be shown'
export const notShownHint =
  'The bytes of this photo are in the workshop, and this browser cannot show them as a picture: they are of another kind than a photo should be, or too large. They are kept as they are.'
