/**
 * What `instruments/marks` says, here and on the server.
 * Written by `python -m twoturns.words.phone`: change the server's catalogue, not this.
 */

export const spanUnfit = 'Tips {span} teeth apart do not fit a wheel of {teeth} teeth.'
export const spanUnfitHint = 'Tap two tips about {teeth} teeth apart, with the mark between them.'
export const offCentre = 'The wheel is too near the edge of the photo.'
export const offCentreHint = 'Take a photo with this wheel in the middle.'
export const tapsUnfit = 'These taps do not make a wheel.'
export const tapsUnfitHint =
  'Tap the middle of the wheel first, then one tooth tip on either side of the mark.'
export const tooSmall = 'The wheel is too small on the screen to be tapped truly.'
export const tooSmallCloserHint = 'Take the photo from closer.'
export const tooSmallLargerHint = 'Make the photo larger with the loupe, then tap again.'
export const markOutside = 'The mark is not between the two tooth tips.'
export const markOutsideHint = 'Tap one tip on either side of the mark.'
export const tilted = "The photo looks {tilt} degrees past the wheel's axis; {most} is the most."
export const tiltedHint =
  'Count the teeth between the tips again. If the count is right, take the photo square on to the wheel.'
export const tiltUnclear = 'Five taps do not show whether the photo is square on.'
export const tiltUnclearHint = 'Tap two more tooth tips, on the far side of the wheel.'
export const farApart = 'Mark and pointer stand {apart} teeth apart, too far for a photo.'
export const farApartHint = 'Count the teeth from the pointer to the mark by hand.'
export const inLine = 'Mark and pointer are in line, {apart} tooth apart.'
export const inLineHint = 'The photo alone proves nothing: the pins and the two turns do.'
export const oneToothOut = 'The mark stands one tooth out, {side} of the pointer.'
export const oneToothOutHint = 'Set the belt anew before anything is tightened.'
export const undecided = 'Mark and pointer are {apart} tooth apart: neither in line nor one tooth out.'
export const undecidedHint = 'Take the photo again, square on and closer.'
