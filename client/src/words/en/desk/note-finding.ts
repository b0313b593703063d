/** What `screens/desk/note-finding.tsx` says. */

export const note = 'Note a finding'
export const keepIt = 'Note it'
export const means =
  'It asks for the customer’s word, and stands on phone, sheet and report until it is settled.'
export const where = 'Where it was found'
export const step = '{number} {title}'
export const what = 'What was found, in your words'
export const photo = 'A photo of it, if there is one'
