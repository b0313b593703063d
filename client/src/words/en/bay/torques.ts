/** What `screens/bay/torques.tsx` says. */

export const title = 'Torques of this job'
export const goOn = 'Go on'
export const makersFirst = 'Where the maker’s data for this vehicle say otherwise, they come first.'
export const figure = '{figure}{turns, select, true { + {angle}°} other {}}'
export const step = ', step {number}: {title}'
export const more =
  '{hasBolts, select, true {In this order: {bolts}. } other {}}{asked, plural, =0 {By hand, no figure is asked.} other {{given} of {asked} clicked.}}'
