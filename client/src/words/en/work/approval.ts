/** What `work/approval.ts` says. */

export const notClosed = 'The job is not closed.'
export const questionOpen = 'A question has no answer yet.'
export const questionsOpen = '{questions} questions have no answer yet.'
export const toDo = 'To do: {todo}.'
export const lotIsRecalled =
  'Lot {lot} is recalled and in this engine: another is fitted, or the owner takes it over.'
