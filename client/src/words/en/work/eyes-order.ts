/** What `work/eyes-order.ts` says. */

export const procedureMissing = 'a job without its procedure'
export const approvedThenChanged = '{name}: approved, then changed'
export const asksForEyes = '{name}: {fact}'
export const subject = '{isJob, select, true {the job} other {a step}}'
export const jobQuestions = '{name}: {n, plural, one {a question is} other {# questions are}} open'
export const readyToApprove = '{name} is ready to approve'
export const closed = 'closed'
export const thingsAskForEyes = '{exceptions} things ask for eyes'
export const questionsAreOpen = '{n, plural, one {one question is} other {# questions are}} open'
export const jobs = '{n, plural, one {One job} other {# jobs}}: {names}.'
