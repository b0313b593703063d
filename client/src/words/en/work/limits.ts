/** What `work/limits.ts` says. */

export const to = '{low} to {limit}'
export const atLeast = 'at least {limit}'
export const atMost = 'at most {limit}'
export const isBelow = '{read} is below {low}'
export const isAbove = '{read} is above {high}'
export const isInTheWindow = '{read} is in the window'
