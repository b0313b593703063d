/** What `parts/pad.tsx` says. */

export const numberKeys = 'Number keys'
export const minus = 'minus'
export const point = 'point'
export const takeBack = 'take the last one back'
export const letters = 'Letters {open}'
export const otherLetters = 'other letters'
export const letterGroups = 'Letter groups'
export const space = 'space'
