/** What `screens/bay/proofs/figure-beside.tsx` says. */

export const notReadYet = '{label}: not read yet.'
export const figuresDiffer =
  'The two differ. Read both once more. If they stay apart, one of them is the wrong part: do not fit it.'
