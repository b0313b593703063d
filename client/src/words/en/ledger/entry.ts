/**
 * What `ledger/entry` says, here and on the server.
 * Written by `python -m twoturns.words.phone`: change the server's catalogue, not this.
 */

export const aWorkshopId = 'a workshop id, 43 characters of base64url'
export const nullOrUuid = "null for a workshop's statement, else a UUID of version 7"
export const aThumbprint = 'a thumbprint, 43 characters of base64url'
export const uuidOrConsole = 'a UUID of version 7, or "{console}"'
export const aWholeNumber = 'a whole number from 1 up'
export const aListOfIds = 'a list of at most {maxAfter} ids, none twice'
export const aTime = 'a time, YYYY-MM-DDTHH:MM:SS.mmmZ'
export const twoNames = 'two names with a dot between, each of at most 32 characters'
export const anObject = 'an object'
export const badEntryHint = 'The line is not one of ours, or was cut on the way: send it as it was signed.'
export const noSpace = 'no space between signature and JSON'
export const halfSurrogatePair = 'the line has half a surrogate pair'
export const lineTooLong = 'the line has {head} bytes, at most {maxLineBytes}'
export const lineTooLongHint = 'Put long text and lists into a blob, or into several entries.'
export const unknownField = '{wireKind} has a field that we do not know, or is no kind we know'
export const unknownFieldHint = 'Write what this program can read.'
export const otherMembers = 'expected the members {members}, got {found}'
export const badMember = '{name} must be {wanted}, got {members}'
export const namesJob = 'names a job'
export const aboutNoJob = 'is about no job'
export const unreadHint = 'Write what this app can read.'
