/** What `screens/bay/drawing.tsx` says. */

export const large = 'Show the drive large'
