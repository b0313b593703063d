/** What `screens/record/figures.tsx` says. */

export const outsideLimits = 'outside its limits'
export const closeToLimit = 'close to its limit'
export const reading =
  '{label}{hasTool, select, true {, with {tool}} other {}}{taken, select, pluck {, heard by the phone’s microphone} marks {, from marks tapped on a photo} turn {, by the phone’s gyro} scan {, read by the phone’s camera} clock {, by the phone’s clock} count {, counted} eye {, read by eye and put in by hand} other {}}{isCorrected, select, true {; {was} before it was corrected} other {}}{isOther, select, true {; {again} when it was read again} other {}}{hasLimits, select, true {, {limits}} other {}}'
export const measured = 'Measured'
export const allInside = 'All {inside} readings are well inside their limits'
export const moreInside = '{inside} more, well inside their limits'
export const photographed = 'Photographed'
export const allPhotos =
  '{n, plural, one {The photo} other {All # photos}} on one page, to compare, print and take away'
export const morePhotos = '{sorted} more photos'
