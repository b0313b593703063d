/** What `screens/bench/form-view.tsx` says. */

export const noYaml =
  'The text cannot be read as it stands: the form comes when what the check found is mended.'
export const procedure = 'Procedure'
export const step = 'Step'
export const whichStep = 'Which step'
export const fields = { name: 'Name', edition: 'Edition', vehicle: 'Vehicle' } as const
export const earlier = 'One place earlier'
export const later = 'One place later'
export const moved = 'Moved. The check says whether it can be done so.'
export const addStep = 'Add a step behind it'
export const takeStepOut = 'Take this step out'
export const added = 'A step is added behind it. Choose it under Which step.'
export const takenOut = 'The step is taken out. The check says what is missing now.'
export const cannot = 'That cannot be done by the form: the text is as it was. It can be written there.'
export const ofBlock =
  'This step comes whole from a block. What you change of it is written in this procedure, the block stays as it is.'
export const changeIt = 'Change this step here'
export const mayChange = 'The step has its own entry now: what you change is written there.'
