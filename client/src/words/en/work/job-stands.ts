/** What `work/job-stands.ts` says. */

export const askedFor = 'asked for, not opened yet'
export const declined = 'declined'
export const approved = 'approved'
export const changed = 'approved, then changed'
export const waitsForApproval = 'done, waits for approval'
export const notBegun = 'opened, no step done yet'
export const inWork = 'in work'
export const inWorkHeld = 'in work, {held}'
export const asksForEyes = '{n, plural, one {one thing asks for eyes} other {# things ask for eyes}}'
export const questionsOpen = '{n, plural, one {one question is open} other {# questions are open}}'
export const findingsOpen = '{n, plural, one {one finding is open} other {# findings are open}}'
export const answersToRead = '{n, plural, one {an answer is to be read} other {# answers are to be read}}'
export const entriesCame = '{n, plural, one {one entry} other {# entries}}'
export const came = {
  enquiry_taken: '{n, plural, other {a call was taken}}',
  job_opened: '{n, plural, other {the job was opened}}',
  step_failed: '{n, plural, one {one step did not hold} other {# steps did not hold}}',
  finding_noted: '{n, plural, one {one finding} other {# findings}}',
  tool_lost: '{n, plural, one {a tool was lost} other {# tools were lost}}',
  review_returned: '{n, plural, one {a question was asked} other {# questions were asked}}',
  review_answered: '{n, plural, one {a question was answered} other {# questions were answered}}',
  step_done: '{n, plural, one {one step done} other {# steps done}}',
  photo_taken: '{n, plural, one {one photo} other {# photos}}',
  note_added: '{n, plural, one {one note} other {# notes}}',
  job_parked: '{n, plural, other {it was parked}}',
  job_resumed: '{n, plural, other {it goes on again}}',
  job_taken: '{n, plural, other {another hand went on}}',
  review_gap: '{n, plural, one {a step was accepted as it is} other {# steps were accepted as they are}}',
  notice_settled: '{n, plural, one {a notice was settled} other {# notices were settled}}',
  review_approved: '{n, plural, other {it was approved}}',
  job_closed: '{n, plural, other {it was closed}}',
} as const
