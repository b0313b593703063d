/** What `screens/audit/findings.tsx` says. */

export const title = 'Findings'
export const write = 'Write a finding'
export const writeAbout = 'Write a finding about this job'
export const writeOfSample = 'Write a finding about this sample'
export const ofSample = 'What you found in this sample'
export const ofWorkshop = 'What you found about the workshop'
export const ofJob = 'What you found in this job'
export const state = 'State it'
export const means =
  'It stands in the ledger under your key. The owner answers, and it is open until you close it. Your words are a private value: they can be erased, the finding cannot. Who sees the job reads them; of what is about no job, all who work here.'
export const close = 'Close it'
export const closing = 'Why it is settled'
export const inThisJob = 'An auditor’s findings'
