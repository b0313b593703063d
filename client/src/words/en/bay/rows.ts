/** What `screens/bay/rows.tsx` says. */

export const step = 'Step {number}'
