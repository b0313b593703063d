/** What `sync/invitation.ts` says. */

export const thisTextIsNot = 'This text is not a whole invitation.'
