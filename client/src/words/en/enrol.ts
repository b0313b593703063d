/** What `screens/enrol.tsx` says. */

export const may = {
  mechanic: 'work on jobs and sign what was done',
  owner: 'work on jobs, review them and run the workshop',
  auditor: 'look into jobs and verify them',
} as const
export const compareWithThePaper = 'Compare with the paper'
export const openTheInvitation = 'Open the invitation'
export const alreadyBelongs =
  'This phone already belongs to {workshopName}. A new invitation replaces its key; everything on it stays and is sent as it was signed.'
export const leaveIt = 'Leave it as it is'
export const scanTheInvitation = 'Scan the invitation'
export const scanHint =
  'Point at the code that the owner shows. What it says is shown before this phone joins.'
export const pasteIt = 'Paste it'
export const pasteHint = 'Paste the link instead.'
export const whereFrom = 'The owner hands out an invitation as a code and as a link.'
export const scanTheCode = 'Scan the code'
export const linkLabel = 'Or paste the link here.'
export const readTheInvitation = 'Read the invitation'
export const compareFingerprint = 'The workshop’s fingerprint. It must be the same on the workshop’s paper:'
export const thisPhoneMay = 'With this invitation this phone may {role}.'
export const cannotJoin =
  'This browser cannot join: what it shows as kept would not be so. Open the invitation in another browser.'
export const joining = 'Making the key and asking the workshop'
export const join = 'It is the same: join this workshop'
