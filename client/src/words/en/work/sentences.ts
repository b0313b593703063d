/** What `work/sentences.ts` says. */

export const unknownFact = '{subject} has something this page does not know'
export const unknownFactMeans = 'Open the job and look at its entries.'
export const correctedFromTo = '{label}: {was} was written, {reading} is right. {means}'
export const theJob = 'the job'
export const times = '{fact}, {times} times'
export const lotRecalledBecause = '{because} In this engine: {what}.'
export const lotRecalledShort = 'lot {lot} is recalled'
export const bundleWithdrawnShort = 'its procedure was withdrawn'
