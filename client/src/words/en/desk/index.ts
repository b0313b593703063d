/** What `screens/desk/index.tsx` says. */

export const eyesFirst = 'Eyes first'
export const jobs = 'Jobs'
export const tools = 'Tools'
export const lots = 'Lots'
export const people = 'People'
export const heldBack = 'Held back'
export const procedures = 'Procedures'
export const erasing = 'Erasing'
export const lastHeardOf = 'Last heard of'
