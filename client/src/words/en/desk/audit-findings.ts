/** What `screens/desk/audit-findings.tsx` says. */

export const title = 'An auditor’s findings'
export const means =
  'A finding is open until the auditor closes it. What you answer stands in the ledger under your key.'
export const answer = 'Answer'
export const whatYouSay = 'What the workshop says to it'
export const state = 'State the answer'
export const wait =
  '{n, plural, one {A finding of an auditor waits} other {# findings of an auditor wait}} for your answer'
