/** What `parts/keys.tsx` says. */

export const keepHolding = 'keep holding'
export const onceMorePaintsIt = 'once more paints it'
export const saving = 'saving'
export const holdToPaint = 'hold to paint'
export const itHolds = 'it holds'
