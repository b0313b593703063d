/** What `screens/record/figures.tsx` says. */

export const outsideItsLimits = 'outside its limits'
export const closeToItsLimit = 'close to its limit'
export const withIt = ', with '
export const beforeItWasCorrected = '; {was} before it was corrected'
export const whenItWasReadAgain = '; {again} when it was read again'
export const measured = 'Measured'
export const allReadingsAreWellInside = 'All {inside} readings are well inside their limits'
export const moreWellInsideTheirLimits = '{inside} more, well inside their limits'
export const photographed = 'Photographed'
export const morePhotos = '{sorted} more photos'
