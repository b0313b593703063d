/**
 * What `ledger/private` says, here and on the server.
 * Written by `python -m twoturns.words.phone`: change the server's catalogue, not this.
 */

export const badPrivateValueHint =
  'The blob is not one of ours, or was changed: send it as it was first written.'
export const valueTooLong = 'the private value has {data} bytes, at most {maxBytes}'
export const valueTooLongHint = 'Say it in fewer words, or in two notes.'
export const otherMembers = 'expected the members field, salt, value'
export const unknownField = 'field {field} is unknown; expected one of {expected}'
export const valueNotText = 'value must be text'
export const otherField = 'field is unknown; expected one of {expected}'
export const salt = 'salt: {error}'
export const notText = 'value and salt must be text'
