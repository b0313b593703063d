/** What `parts/head.tsx` says. */

export const openTheOrderOfWork = '. Open the order of work'
