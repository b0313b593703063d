/** What `screens/desk/form.tsx` says. */

export const leaveIt = 'Leave it'
