/** What `screens/bay/give-proof.tsx` says. */

export const timeRuns = 'The time runs.'
