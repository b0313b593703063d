/** What `screens/enrol.tsx` says. */

export const workOnJobsAndSign = 'work on jobs and sign what was done'
export const workOnJobsReviewThem = 'work on jobs, review them and run the workshop'
export const lookIntoJobsAndVerifyThem = 'look into jobs and verify them'
export const compareWithThePaper = 'Compare with the paper'
export const openTheInvitation = 'Open the invitation'
export const thisPhoneAlreadyBelongs =
  'This phone already belongs to {workshopName}. A new invitation replaces its key; everything on it stays and is sent as it was signed.'
export const leaveItAsItIs = 'Leave it as it is'
export const scanTheInvitation = 'Scan the invitation'
export const pointAtTheCode =
  'Point at the code that the owner shows. What it says is shown before this phone joins.'
export const pasteIt = 'Paste it'
export const pasteTheLinkInstead = 'Paste the link instead.'
export const ownerHandsOutAnInvitation = 'The owner hands out an invitation as a code and as a link.'
export const scanTheCode = 'Scan the code'
export const orPasteTheLinkHere = 'Or paste the link here.'
export const readTheInvitation = 'Read the invitation'
export const workshopsFingerprintItMust =
  'The workshop’s fingerprint. It must be the same on the workshop’s paper:'
export const withThisInvitationThisPhoneMay = 'With this invitation this phone may {role}.'
export const thisBrowserCannotJoinWhat =
  'This browser cannot join: what it shows as kept would not be so. Open the invitation in another browser.'
export const makingTheKeyAndAsking = 'Making the key and asking the workshop'
export const itIsTheSameJoin = 'It is the same: join this workshop'
