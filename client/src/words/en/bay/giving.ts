/** What `screens/bay/giving.ts` says. */

export const holds = '{number} holds.'
export const kept = '{label}: kept.'
