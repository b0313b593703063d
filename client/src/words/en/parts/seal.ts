/** What `parts/seal.tsx` says. */

export const toDo = 'to do'
export const now = 'now'
export const holds = 'holds'
export const brokenToDoAgain = 'broken, to do again'
export const passedBy = 'passed by'
