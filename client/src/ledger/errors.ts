/** What this room refuses, and why. Codes are those of server/twoturns/ledger/errors.py. */

type LedgerCode =
  | 'not-canonical'
  | 'bad-key'
  | 'bad-private-value'
  | 'bad-body'
  | 'bad-entry'
  | 'too-large'
  | 'bad-invitation'
  | 'bad-record'
  | 'bad-checkpoint'

/** Something is not evidence as it stands: `message` is the fact, `hint` what to do. */
export class LedgerError extends Error {
  readonly code: LedgerCode
  readonly hint: string

  constructor(code: LedgerCode, fact: string, hint: string) {
    super(fact)
    this.name = 'LedgerError'
    this.code = code
    this.hint = hint
  }
}
