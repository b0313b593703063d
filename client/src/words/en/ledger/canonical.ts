/**
 * What `ledger/canonical` says, here and on the server.
 * Written by `python -m twoturns.words.phone`: change the server's catalogue, not this.
 */

export const notCanonicalHint =
  'The bytes were changed on the way, or a program wrote them that does not know this form. Send them again exactly as they were signed.'
export const notJson = 'not JSON: {error}'
export const integerTooLarge = 'the integer {value}, which is not below 2^53'
export const badKey = 'the key {key}; expected [a-z][a-z0-9_]*'
export const bareDecimal = 'a {name}; a decimal is written as a string'
export const tooDeep = 'a value more than {maxDepth} deep'
export const textTooLong = 'a text of {text} characters; at most {maxText}'
export const halfSurrogatePair = 'a text with half a surrogate pair'
export const notNfc = 'a text that is not in Unicode form NFC'
export const byteNotCanonical = 'byte {at} is not canonical: found {got}, expected {want}'
export const notUtf8 = 'not JSON: the bytes are not UTF-8'
export const fraction = 'a fraction; a decimal is written as a string'
export const minusZero = 'minus zero'
export const textOver = 'a text of more than {maxText} characters'
export const characterNotCanonical = 'character {at} is not canonical: found {got}, expected {want}'
