/** What `ledger/invitation.ts` says. */

export const otherMembers = 'its members are not those of an invitation'
export const notAnInvitation = 'the text is not an invitation: {fact}'
export const notAnInvitationHint =
  'Take the whole link; if it was cut off, ask the owner for a new invitation.'
