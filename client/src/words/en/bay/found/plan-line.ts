/** What `screens/bay/found/plan-line.tsx` says. */

export const anothers = 'a colleague is on it'
