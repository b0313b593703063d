/** What `screens/bench/index.tsx` says. */

export const reading = 'Reading the draft.'
export const views = 'Views of the draft'
export const tabs = {
  text: 'Text',
  form: 'Form',
  drive: 'Drive',
  pictures: 'Pictures',
  publish: 'Publish',
} as const
export const kept = 'The workshop holds it as it stands here.'
export const notKept = 'Not in the workshop yet.'
export const check = 'Check it'
export const stop = 'Stop the check'
export const exportIt = 'Export it as a ZIP file'
export const unchecked = 'It is not checked.'
export const checking = 'Checking: {states, number} states gone through.'
export const found = 'The check found {n, plural, one {# fault} other {# faults}}.'
export const proved =
  'Proved: {rules, number} house rules hold in {states, number} states, and an end is reached from each.'
export const noScreenYet = 'The screen of the phone stands here as soon as the text compiles.'
export const keepMine = 'Keep mine as another draft'
export const readTheirs = 'Read what is there'
export const copiedAs = 'Kept as another draft:'
