/** What `screens/bay/proofs/counted-things.ts` says. */

export const isLost = 'is lost'
export const isOut = 'is still in the engine bay'
export const notTickedOf = 'not ticked, {ticked} of {all}'
