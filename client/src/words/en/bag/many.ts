/**
 * What `bag/many` says, here and on the server.
 * Written by `python -m twoturns.words.phone`: change the server's catalogue, not this.
 */

export const theFile = 'the file itself'
export const cannotBeChecked = 'the file could not be checked: {what}'
export const takeFewer = 'Take fewer jobs at once, or without the original photos.'
export const unexpectedFile = 'the list of bags does not name this file'
export const severalWorkshops = 'the bags are of {n} workshops'
export const malformedList = 'it does not have the form of a list of bags'
export const unreadable = 'it cannot be read: {error}'
export const bagMissing = 'the list names this bag, and it is not here'
export const packedTwice = 'it is packed, where a bag lies as it is'
export const otherHash = 'its hash is {found}, and not the one of the list'
export const otherJob = 'it is of job {job}, and not of the one of the list'
export const sheetOfAnother = 'the sample was drawn in another workshop than the bags are of'
export const drawnMissing = 'job {job} was drawn, and its bag is not here'
export const notDrawn = 'job {job} was not drawn'
