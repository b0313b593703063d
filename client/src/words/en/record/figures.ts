/** What `screens/record/figures.tsx` says. */

export const outsideLimits = 'outside its limits'
export const closeToLimit = 'close to its limit'
export const withIt = ', with '
export const corrected = '; {was} before it was corrected'
export const readAgain = '; {again} when it was read again'
export const measured = 'Measured'
export const allInside = 'All {inside} readings are well inside their limits'
export const moreInside = '{inside} more, well inside their limits'
export const photographed = 'Photographed'
export const morePhotos = '{sorted} more photos'
