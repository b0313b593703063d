/**
 * What `work/flags` says, here and on the server.
 * Written by `python -m twoturns.words.phone`: change the server's catalogue, not this.
 */

export const theJob = 'The job'
export const unreadable = '{subject} has an entry that only a newer program can read'
export const unreadableMeans =
  'It may change all that is said here: update the program if a newer one is ready, else ask who wrote it.'
export const againstRule = '{subject} was done against a house rule'
export const againstRuleMeans = 'What the rule guards against may have happened.'
export const outsideLimits = '{subject} has a reading outside its limits'
export const outsideLimitsMeans = 'The reading does not prove the step.'
export const withoutProof = '{subject} was done without its proof'
export const withoutProofMeans = 'What the step asks for is not in the record.'
export const beforeTurn = '{subject} was done before its turn'
export const beforeTurnMeans = 'What it proves does not count.'
export const toolUnaccounted = '{subject} left a tool unaccounted for'
export const toolUnaccountedMeans = 'Something may still be in the engine bay.'
export const existsTwice = '{subject} has an entry that exists twice'
export const existsTwiceMeans =
  'Two entries claim the same place on one phone: its key or its storage was copied.'
export const notAllowed = '{subject} has an entry by a device that may not write it'
export const notAllowedMeans = 'It proves nothing until it is accepted.'
export const twoPhones = '{subject} was worked on by two phones that did not know of each other'
export const twoPhonesMeans = 'What one proved, the other may have undone.'
export const openedTwice = '{subject} was opened a second time'
export const openedTwiceMeans = 'All that was done before it is to be done again.'
export const gapBefore = '{subject} has an entry before which something is missing'
export const gapBeforeMeans = 'It proves nothing until the missing one has come in or it is accepted.'
export const failedFirst = '{subject} did not hold at first'
export const failedFirstMeans = 'A check failed and the work was done again.'
export const withoutPermit = '{subject} was done by somebody who lacked the permit for it'
export const withoutPermitMeans = 'Why they went on stands at the step, in their words.'
export const passedBy = '{subject} was passed by, with a reason and a photo'
export const passedByMeans = 'It was not proved.'
export const unknownName = '{subject} names something its procedure does not have'
export const unknownNameMeans = 'It says nothing for the job.'
export const reopened = '{subject} was opened again'
export const reopenedMeans = 'It was done once more.'
export const corrected = '{subject} has a reading that was corrected'
export const correctedMeans = 'Both values are kept.'
export const gapAccepted = '{subject} was accepted as it is'
export const gapAcceptedMeans = "The owner's word stands in place of what was asked for."
