/** What `screens/record/figures.tsx` says. */

export const outsideLimits = 'outside its limits'
export const closeToLimit = 'close to its limit'
export const reading =
  '{label}{hasTool, select, true {, with {tool}} other {}}{isCorrected, select, true {; {was} before it was corrected} other {}}{isOther, select, true {; {again} when it was read again} other {}}{hasLimits, select, true {, {limits}} other {}}'
export const measured = 'Measured'
export const allInside = 'All {inside} readings are well inside their limits'
export const moreInside = '{inside} more, well inside their limits'
export const photographed = 'Photographed'
export const morePhotos = '{sorted} more photos'
