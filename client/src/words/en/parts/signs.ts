/** What `parts/signs.tsx` says. */

export const warning = 'Warning'
