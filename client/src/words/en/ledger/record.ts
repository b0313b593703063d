/**
 * What `ledger/record` says, here and on the server.
 * Written by `python -m twoturns.words.phone`: change the server's catalogue, not this.
 */

export const notARecord = 'not a record: {text}; expected a time, an offset and an entry'
export const notARecordHint = 'The text was cut or changed: take it again from the workshop or the bag.'
