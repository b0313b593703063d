/** What `screens/desk/qr.tsx` says. */

export const linkAsACode = 'The link as a code to be scanned'
