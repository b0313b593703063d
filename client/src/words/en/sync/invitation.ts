/** What `sync/invitation.ts` says. */

export const notInvitation = 'This text is not a whole invitation.'
