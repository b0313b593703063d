/** What `screens/bench/blocks-form.tsx` says. */

export const comes = 'The blocks come.'
export const blocks = 'Blocks'
export const mean =
  'Work that is the same on every car, with its reasons, ways back and proofs. What differs is filled in here.'
export const choose = 'Choose a block'
export const lacks = '{n, plural, one {# thing is} other {# things are}} to be filled in'
export const steps = 'Its steps: {steps}'
export const withUnit = '{name}, {unit}'
export const forAll = '{says}. It is filled in once for all blocks'
export const aLineEach = '{hint}. A line each'
export const yesNo = { not: 'as the block has it', yes: 'yes', no: 'no' } as const
