/** What `screens/bay/note.tsx` says. */

export const noteIsKept = 'The note is kept.'
export const noteOn = 'A note on {number}'
export const noteOnTheJob = 'A note on the job'
export const noWordsYet = 'No words yet'
export const keepTheNote = 'Keep the note'
export const noteLabel = 'What the owner should know'
export const noteExplained = 'A note changes nothing in the order of work. The owner sees it.'
