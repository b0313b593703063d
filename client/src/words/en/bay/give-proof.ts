/** What `screens/bay/give-proof.tsx` says. */

export const holds = '{number} holds.'
export const kept = '{label}: kept.'
export const timeRuns = 'The time runs.'
