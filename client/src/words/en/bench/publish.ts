/** What `screens/bench/publish.tsx` says. */

export const publish = 'Publish'
export const notChecked = 'The text as it stands is not checked to the end. It is handed in only when it is.'
export const hasFaults =
  'The check found {n, plural, one {# fault} other {# faults}}. It is handed in when there is none.'
export const handIn = 'Hand it in'
export const waits = 'It is handed in. Nobody works by it until an owner publishes it.'
export const isPublished = 'These very bytes are published already.'
export const toThePage = 'To the page Procedures'
export const comparing = 'Comparing it with what is published.'
export const firstEdition = 'Edition {edition} would be the first of this procedure.'
export const comparedWith = 'Edition {edition}, against edition {against} that is published:'
export const sameAsBefore = 'Nothing is said or asked otherwise.'
export const toldTo = 'To be told, as they worked by it: {persons}.'
export const goOn =
  '{n, plural, one {# open job goes} other {# open jobs go}} on by the edition that {n, plural, one {it was} other {they were}} opened by.'
