/** What `screens/desk/because.tsx` says. */

export const why = 'Why'
