/** What `screens/record/belt.tsx` says. */

export const beltExplained =
  "Once round the belt, from the crank's mark along the tight side. Whole stripes hold, gaps begin a phase, heavy numbers ask for eyes."
export const phasesLabel = 'Phases and when they began'
export const notBegun = '{name}, not begun'
export const redoneExplained = 'A broken stripe beside a whole one: it broke, and was done again.'
export const redoneLabel = 'What broke and was done again'
