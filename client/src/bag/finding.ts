/** Something in a bag that does not hold: which file, what is so, what to do. Codes are the server's. */
import * as words from '../words/en/bag/read'
import { t } from '../words/message'

export interface Finding {
  readonly code: string
  readonly file: string
  readonly what: string
  readonly hint: string
}

export const finding = (code: string, file: string, what: string, hint: string): Finding => ({
  code,
  file,
  what,
  hint,
})

export const AGAIN: string = t(words.askAgain)

/** The file is no bag that can be looked into safely. */
export class BagUnreadable extends Error {
  readonly code = 'bag-unreadable'
  readonly hint: string

  constructor(what: string, hint: string = t(words.notLookedInto, { again: AGAIN })) {
    super(what)
    this.name = 'BagUnreadable'
    this.hint = hint
  }
}
