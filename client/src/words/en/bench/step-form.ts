/** What `screens/bench/step-form.tsx` says. */

export const fields = {
  title: 'Title',
  act: 'What the key says',
  says: 'Sentences',
  because: 'Why',
  drawn: 'Our drawing of it',
  together: 'Done together with',
  must: 'It must be done (yes, no)',
  once: 'It cannot be done again (yes, no)',
  undo: 'A way back (yes, no)',
  caution: 'Caution',
  torque: 'Torque',
  look: 'Where to look',
  asks: 'What must be so before',
  does: 'What it does',
  tools_out: 'Tools off the board',
  tools_in: 'Tools on the board again',
  takes: 'Parts it takes',
  sign: 'Sign',
  nm: 'N·m',
  angle_deg: 'and on by degrees',
  sequence: 'Order of its fasteners',
} as const
export const sentence = 'Sentence {n}'
export const asTyped = {
  list: 'With commas between.',
  mapping: 'As name: value, with commas between.',
} as const
export const add = {
  part: 'What this step does not say yet',
  sentence: 'Add a sentence',
  proof: 'A proof more',
  toProof: 'What this proof does not say yet',
  option: 'Add something to choose',
  notOk: 'It does not prove the step',
  failure: 'Add a way to fail',
  finding: 'It is a finding',
  leaves: 'Say how it leaves things',
} as const
export const howStarter = 'How it is given.'
export const member = {
  proof: 'Proof: {name}',
  options: 'Can be chosen: {name}',
  fails: 'When it went wrong: {name}',
} as const
export const fromBlock = 'As the block has it. What you write here holds instead.'
export const listFromBlock = 'As the block has it, with commas between. What you write here holds instead.'
export const ofMember = {
  label: 'What is given',
  unit: 'Unit',
  low: 'At least',
  high: 'At most',
  target: 'Target',
  tool: 'Tool that measures',
  hint: 'How',
  by: 'Instrument of the phone',
  of: 'What is counted',
  wheel: 'At which wheel',
  like: 'As the proof before',
  part: 'Part of the kit',
  says: 'What is seen',
  then: 'What is done then',
  ok: 'It proves the step (yes, no)',
  finding: 'It is a finding (yes, no)',
  leaves: 'How it leaves things',
} as const
export const kinds = {
  confirm: 'said by holding the key',
  reading: 'a reading',
  photo: 'a photo',
  count: 'a count',
  wait: 'a wait',
  scan: 'a label read',
  choice: 'a choice',
  signature: 'a signature',
} as const
