/** What `screens/desk/follow-up.tsx` says. */

export const notHere = 'Not here'
export const readingTheJobs = 'Reading the jobs.'
export const recallOfLot = 'Recall of lot {lot}'
export const toolFoundOut = '{tool}, found out on {on}'
export const certificate = 'Certificate {certificate}.'
export const fileOfLot = 'recall'
export const fileOfTool = 'tool'
export const counts =
  '{all, plural, =0 {No vehicle} one {# vehicle} other {# vehicles}}: {left, plural, =0 {nothing is left to do} other {# to do}}, {done} done{untold, plural, =0 {} other {, # not told yet}}.'
export const soFar = '{n, plural, one {# vehicle} other {# vehicles}} so far: more are coming.'
export const noVehicleOfLot =
  'No job here fitted this lot. The recall stands all the same: a phone stops at such a part.'
export const noVehicleOfTool = 'Nothing was tightened or measured with it between the checks.'
export const takeTheTable = 'Take the table away (CSV)'
export const printTheList = 'Print the list'
export const writeLetters = '{n, plural, one {A letter} other {# letters}} to those that are left'
export const whatHoldsOfLot =
  'Done is what was replaced, or what an owner took over on the page of the job. What the maker of the part or of the vehicle says of the danger comes before this list.'
export const whatHoldsOfTool =
  'Reckoned from the check: what was set or read, and by how much the tool was off there, straight between two points. Done is what was done again, was taken over, or was inside its limits all the same. A stretch bolt or a nut that is used once is not just pulled again: the maker’s data come first.'
export const vinNotHere = 'VIN not here'
export const noCustomer = 'no name written down'
export const noPhone = 'no telephone written down'
export const hasLeft = 'begun {begun}, has left'
export const stillHere = 'begun {begun}, still here'
export const part = '{part}, lot {lot}{asks, select, true {} other {: settled}}'
export const fittedLater = 'A newer job of this vehicle fitted another lot.'
export const fittedLaterHint = 'Look at it, and write “replaced” here if it is so.'
export const whenBy = '{at}, by {who}'
export const writeItDown = 'Write down what was done'
export const aLetter = 'A letter'
export const whatWasDone = 'What was done for {plate}'
export const writeDown = 'Write it down'
export const howFar = 'How far it came'
export const choice = {
  told: 'The customer was told',
  not_reached: 'The customer was not reached',
  answered: 'The customer answered',
  replaced: 'The part was replaced',
  retightened: 'It was done again with a good tool',
  accepted: 'It is taken over as it is, with a reason',
} as const
export const words = 'In words'
export const wordsHint = 'Who said what, when he comes. It can be erased later.'
export const wantsWords = 'Write what was said, or why it is taken over.'
export const tooLong = 'Shorten it to 1,900 characters.'
