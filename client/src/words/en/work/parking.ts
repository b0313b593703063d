/** What is asked where a job is parked, in the bay and at the desk. */

export const whichPart = 'Which part is missing'
export const moreWords = 'What whoever goes on should know'
