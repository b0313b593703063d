/** What `parts/signature.tsx` says. */

export const empty = 'Empty'
export const signed = 'Signed'
