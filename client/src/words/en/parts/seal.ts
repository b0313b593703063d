/** What `parts/seal.tsx` says. */

export const toDo = 'to do'
export const now = 'now'
export const brokenToDoAgain = 'broken, to do again'
