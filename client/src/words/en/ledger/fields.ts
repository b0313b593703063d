/**
 * What `ledger/fields` says, here and on the server.
 * Written by `python -m twoturns.words.phone`: change the server's catalogue, not this.
 */

export const notAnObject = 'expected an object'
export const missing = 'missing; expected {expected}'
export const aSha256 = 'a SHA-256 in 64 lower-case hex digits'
export const anEntryId = "an entry's id, 64 lower-case hex digits"
export const aKey = 'a key, 43 characters of base64url'
export const aThumbprint = 'a thumbprint, 43 characters of base64url'
export const aSignature = 'a signature, 86 characters of base64url'
export const aUuid = 'a UUID of version 7 in lower case'
export const aName = 'a name, [a-z][a-z0-9_]* of at most 64 characters'
export const aDecimal = 'a decimal in a string, as "26.50"'
export const aTime = 'a time, YYYY-MM-DDTHH:MM:SS.mmmZ'
export const aDay = 'a day, YYYY-MM-DD'
export const aText = 'text of {shortest} to {longest} characters'
export const aWholeNumber = 'a whole number from {smallest} up'
export const oneOf = 'one of '
export const aPrivateValue = 'a private value, an object with blob'
export const aList = 'a list of {shortest} to {longest}'
export const expected = 'expected {expected}'
export const missingMember = 'missing'
