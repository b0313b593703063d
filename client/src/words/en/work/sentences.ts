/** What `work/sentences.ts` says. */

export const unknownFact = '{subject} has something this page does not know'
export const unknownFactMeans = 'Open the job and look at its entries.'
export const correctedFromTo = '{label}: {was} was written, {reading} is right. {means}'
export const theJob = 'the job'
export const times = '{fact}, {times} times'
export const lotRecalledBecause = '{because} In this engine: {what}.'
export const lotRecalledShort = 'lot {lot} is recalled'
export const toolFoundOut = '{tool} was found out on {on}'
export const toolFoundOutBecause = '{off}. Done with it: {what}.'
export const toolFoundOutShort = '{tool} was found out'
export const tightened =
  '{where}, {value}{isKnown, select, true { was really {actual}} other { at a setting that was not checked}}{hasLimits, select, true {, {limits}} other {}}'
export const bundleWithdrawnShort = 'its procedure was withdrawn'
export const notFolded =
  "{subject} is not read to its end: the workshop''s program stops at one of its entries"
export const notFoldedMeans =
  'Nothing is lost: all its entries stand in the ledger. What comes of them cannot be said before the program is mended; its log names the job.'
