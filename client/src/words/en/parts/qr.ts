/** What `parts/qr.tsx` says. */

export const linkAsACode = 'The link as a code to be scanned'
