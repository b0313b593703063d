/** What `screens/desk/plots.tsx` says. */

export const table = 'The figures as a table'
