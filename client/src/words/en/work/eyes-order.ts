/** What `work/eyes-order.ts` says. */

export const procedureMissing = 'a job without its procedure'
export const approvedThenChanged = '{name}: approved, then changed'
export const asksForEyes = '{name}: {fact}'
export const subject = '{isJob, select, true {the job} other {a step}}'
export const jobQuestions = '{name}: {n, plural, one {a question is} other {# questions are}} open'
export const jobFindings = '{name}: {n, plural, one {a finding is} other {# findings are}} open'
export const readyToApprove = '{name} is ready to approve'
export const closed = 'closed'
export const thingsAskForEyes = '{exceptions} things ask for eyes'
export const questionsAreOpen = '{n, plural, one {one question is} other {# questions are}} open'
export const findingsAreOpen = '{n, plural, one {one finding is} other {# findings are}} open'
export const until =
  '{isLate, select, true {It was to be followed up by {until}: overdue.} other {To be followed up by {until}.}}'
export const jobs = '{n, plural, one {One job} other {# jobs}}: {names}.'
export const jobAnswered =
  '{name}: {n, plural, one {your question was answered} other {# questions were answered}}'
export const answersToRead = '{n, plural, one {an answer is to be read} other {# answers are to be read}}'
