/**
 * What `bag/sheet` says, here and on the server.
 * Written by `python -m twoturns.words.phone`: change the server's catalogue, not this.
 */

export const fileMissing = 'the sheet does not hold this file'
export const noFreeze = "no auditor's statement freezes a population here"
export const noDraw = "no auditor's word draws out of this population"
export const noDrawHint = 'The auditor gives the word on the page of the sample; then take the file again.'
export const notSigned = 'record {index} is not signed by a device that the workshop let in'
export const notInLedger = 'record {index} is not proven to be in the ledger of the checkpoint'
export const otherRoot = "the root that was frozen is not shown to be this ledger's, from before the freeze"
export const otherRootHint = 'The sample was drawn from something else. Do not go by it.'
export const otherRule = 'it does not say the rule of the draw as this program knows it'
export const otherRuleHint = 'Go by the rule on the page of formats, or by what this command draws.'
export const rule =
  "The rule by which the jobs of this sample were drawn\n\n1. The auditor's device stated the population: audit.frozen in records.txt has the ids of its jobs,\n   the filter, and the size and root of the ledger that was frozen.\n2. After that stood in the ledger, the auditor gave a word of his own: audit.drawn, with the number\n   of jobs to draw. The first that names the freeze counts.\n3. seed = SHA-256 of the root (32 bytes), then the word (UTF-8).\n4. The place of a job = SHA-256 of the seed (32 bytes), then the job's id (36 characters, ASCII),\n   in hex. The jobs with the lowest places are the sample.\n\nThat the population is all that the filter finds, of the jobs that the auditor's invitation opens,\nis the workshop's word: it is not proven here. Nor is that the auditor tried no other words before:\na word out of what nobody of the two decides, as that day's paper, leaves no choice to either.\n"
