/** What `work/eyes.ts` says. */

export const askedFor = 'asked for {low}{of}'
export const limitsTo = 'limits {low} to {high}{of}'
export const atMost = 'at most {high}{of}'
export const atLeast = 'at least {low}{of}'
