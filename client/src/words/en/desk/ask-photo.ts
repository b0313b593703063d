/** What `screens/desk/ask-photo.tsx` says. */

export const ask = 'Ask about this photo'
export const questionAbout = 'Question about “{label}”, step {step}'
export const send = 'Send the question'
export const sent = 'The question is on its way to the mechanic, with this photo.'
