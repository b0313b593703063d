/** What `work/opening.ts` says. */

export const readAgain = 'Read once more: it is so'
export const formerWasWrong = 'What was written before was wrong'
export const otherInstrument = 'Another instrument was fitted'
export const blockSaysSo = 'Read off the block: the caller’s code was wrong'
export const otherEngine = 'Another engine was fitted'
export const otherCode = 'The engine’s code is {code} here, and the call said {said}.'
