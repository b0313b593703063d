/** What `screens/desk/write-words.tsx` says. */

export const leaveIt = 'Leave it'
