/** What `screens/office/write-words.tsx` says. */

export const leaveIt = 'Leave it'
