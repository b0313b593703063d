/** What `parts/head.tsx` says. */

export const openOrder = '. Open the order of work'
