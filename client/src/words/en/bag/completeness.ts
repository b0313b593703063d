/**
 * What `bag/completeness` says, here and on the server.
 * Written by `python -m twoturns.words.phone`: change the server's catalogue, not this.
 */

export const takenOut = 'Somebody took it out after the workshop had made the bag. {again}'
export const noHead =
  'the bag has no head of the job, so nothing shows what was left out of it: completeness not proven'
export const noHeadHint = 'Ask the workshop for a new bag: since edition 2 each has one, signed.'
export const headMissing = 'the workshop makes one with each bag, and here is none'
export const fileMissing = 'the bag does not hold this file'
export const headNotSigned = "it is no head of a job that the workshop's key signed"
export const otherFiles = 'its files are not those of which the workshop made this bag'
export const otherJob = 'it is of job {job}'
export const otherLedger = "it is of a ledger of {size} records, and not of the checkpoint's"
export const otherDay = 'it was made on {madeOn}'
export const otherList = 'it is not the list that the head is of'
export const entriesDiffer = 'the head is of {size} entries of the job, here are {held}, and not those'
export const othersDiffer = 'the head is of {size} statements and neighbours, here are {held}, and not those'
export const leftOut =
  'record {index}, the {job, select, true {entry of the job} other {statement or neighbour}} {name}, was held by the workshop and is not here'
export const putIn =
  "record {index}, the {job, select, true {entry of the job} other {statement or neighbour}} {name}, is here and not in the workshop's head"
