/** What `screens/bench/starters.ts` says: it is to be written over. */

export const title = 'New step'
export const act = 'It is done'
export const sentence = 'What is done here.'
export const because = 'Why it is done so.'
export const caution = 'What can hurt here.'
export const label = 'what is given'
export const hint = 'What must be seen in the picture.'
export const good = 'as it must be'
export const bad = 'not as it must be'
export const seen = 'What is seen when it went wrong.'
export const then = 'What is done then.'
export const toBeWritten = 'to be written'
