/** What `parts/keys.tsx` says. */

export const keepHolding = 'keep holding'
export const onceMoreSignsIt = 'once more signs it'
export const saving = 'saving'
export const holdToSign = 'hold to sign'
export const aTapIsShort = 'not a tap: hold it until the line is whole'
export const tapToKeep = 'tap to keep'
export const kept = 'kept'
export const itHolds = 'it holds'
