/** What `screens/bench/form-view.tsx` says. */

export const noYaml =
  'The text cannot be read as it stands: the form comes when what the check found is mended.'
export const procedure = 'Procedure'
export const step = 'Step'
export const whichStep = 'Which step'
export const fields = {
  name: 'Name',
  edition: 'Edition',
  vehicle: 'Vehicle',
  title: 'Title',
  act: 'What the key says',
  because: 'Why',
  label: 'What is given',
  low: 'At least',
  high: 'At most',
  target: 'Target',
  hint: 'How',
} as const
export const sentence = 'Sentence {n}'
export const caution = 'Caution'
export const proof = 'Proof: {name}'
export const earlier = 'One place earlier'
export const later = 'One place later'
export const moved = 'Moved. The check says whether it can be done so.'
export const cannotMove = 'It cannot be moved there.'
