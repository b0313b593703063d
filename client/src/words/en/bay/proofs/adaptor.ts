/** What `screens/bay/proofs/adaptor.tsx` says. */

export const lengths = {
  wrench_mm: 'hand to square',
  adaptor_mm: 'square to fastener',
} as const
export const measures = {
  wrench_mm: 'Middle of the hand to middle of the square',
  adaptor_mm: 'Middle of the square to middle of the fastener',
} as const
export const adaptorOn = 'An adaptor on {tool}'
export const measureItFirst = 'measure it first'
export const measure = 'measure'
export const mm = '{of} mm'
export const angleLabel = 'Angle between adaptor and wrench'
export const usedBefore = 'Used before'
export const setTo = 'set {setting} N·m'
export const setToKey = 'Set {setting} N·m'
export const atTheFastener = '{fastener} at the fastener'
export const noLengthYet = 'No length yet'
export const notThisLength = 'Not this length'
export const toMm = '{low} to {high} mm'
export const mmKey = '{mm} mm'
export const wholeMillimetres = 'Whole millimetres'
