/** What `screens/desk/review.tsx` says. */

export const erasing = 'Erasing'
export const ofThisJob = 'of this job'
export const eraseWhole =
  'What is erased must be all that the job has: the workshop is asked for it first, and that takes the line.'
export const isApproved = 'Approved. Later entries would show here as changed.'
export const notYet = '{missing} Approval opens when this is settled.'
export const otherWindow = 'Go on in the other window; this one only shows.'
export const procedureWithdrawn =
  'Its procedure was withdrawn: {because}. The approval is given knowing that.'
export const changedSince = 'Approved, then changed: look again before approving again.'
export const approveThisJob = 'Approve this job'
export const approved = 'approved'
export const takeOverLot = 'Take over that lot {lot} stays in'
export const whyTakenOver = 'Why lot {lot} stays in this engine'
export const takeItOver = 'Take it over'
export const questionAbout = 'Question about {number}'
export const whyAccepted = 'Why {number} is accepted as it is'
export const sendTheQuestion = 'Send the question'
export const acceptStep = 'Accept it as it is'
export const askStep = 'Ask about this step'
export const haveReadIt = 'I have read it'
export const wasRead = 'read'
export const settleIt = 'Settle it'
export const whySettled = 'Why it need not be said any more. It stays with the job, for auditors too.'
export const papers = 'Papers'
export const paper = {
  sheet: "The customer's sheet",
  sticker: 'Change sticker',
  tag: 'Tag of the old parts',
  coolant: 'Note of the waste coolant',
  invoice: 'Facts for the invoice',
} as const
