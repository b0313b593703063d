/** What `screens/desk/draft-list.tsx` says. */

export const drafts = 'Being written'
export const none = 'No procedure is being written.'
export const changed = 'Last written {at}'
export const writeOne = 'Write a procedure'
export const begin = 'Begin'
export const name = 'Name of the draft'
export const nameHint = 'Small letters, digits and hyphens, such as my-engine.'
export const nameFault =
  'A name begins with a small letter and has small letters, digits and hyphens, 40 at most.'
export const beginsAs = 'It begins as'
export const empty = 'an empty page'
export const measured = 'an engine that was measured'
export const copyOf = 'a copy of {draft}'
export const orFile = 'Or from a ZIP file of its folder'
