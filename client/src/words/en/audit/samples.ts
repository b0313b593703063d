/** What `screens/audit/samples.tsx` says. */

export const title = 'Samples'
export const reading = 'Reading the statements.'
export const none = 'No list is frozen yet. Look through all jobs, and freeze the list that you draw from.'
export const toJobs = 'All jobs'
export const line =
  '{jobs, plural, one {# job} other {# jobs}}, frozen {at}: {drawn, select, true {{count} drawn with the word “{word}”} other {no word given yet}}'
export const frozenList = 'A list of {jobs, plural, one {# job} other {# jobs}}'
export const notThere = 'This list is not in this browser yet.'
export const frozenBy = 'Frozen'
export const ofLedger = 'Ledger'
export const ofLedgerSays = '{size} records, root {root}'
export const itsRecord = 'Its record'
export const notInLedger =
  'not in the ledger yet. Wait for the workshop: a word that is given before counts for nothing'
export const filter = 'Filter'
export const noFilter = 'none: all jobs that the invitation of this auditor opens'
export const filterSays = '{name} {value}'
export const dayTo = '{from} to {to}'
export const fields = {
  days: 'came in',
  person: 'worked on by',
  bundle: 'procedure',
  engine_code: 'engine',
  exception: 'with',
  tool: 'measured with',
  lot: 'lot',
} as const
export const give = 'Give your word'
export const giveMeans =
  'A word that the workshop could not know before: it is stated under your key, and the first one counts. Take it out of what neither of you decides, as that day’s paper: then nobody can say that you tried others.'
export const word = 'Your word'
export const howMany = 'How many jobs'
export const draw = 'Draw'
export const lacksWord = 'Give a word, and a number from 1 to {most}.'
export const drawnTitle = '{n, plural, one {# job} other {# jobs}} drawn'
export const drawnBy = 'With the word “{word}”, given {at}.'
export const takenOnceThere =
  'The word is not in the ledger yet. The sample can be taken away as a file once the workshop has it.'
export const notYours = 'The auditor who froze it gives the word.'
export const theRule = 'The rule'
export const ruleSays =
  'seed = SHA-256 of the root, then the word. The place of a job = SHA-256 of the seed, then the job’s id. The lowest places are drawn. The file has all that proves it, and anybody draws it again:'
export const commandSays = 'twoturns sample {name} --key {workshop}'
