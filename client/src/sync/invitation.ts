/** The invitation, out of whatever was pasted: the whole link, or what stands behind its `#invite=`. */
import { LedgerError } from '../ledger/errors'
import { readInvitation as readText, type Invitation } from '../ledger/invitation'
import type { Answer } from './types'
import * as words from '../words/en/sync/invitation'
import { t } from '../words/message'

export type { Invitation }

/** Space and line breaks, as messages put them into a long link, do not matter. */
export function readInvitation(pasted: string): Answer<Invitation> {
  const [text = ''] = pasted.replace(/\s+/g, '').split('#invite=').slice(-1)
  try {
    return { ok: true, value: readText(text) }
  } catch (error) {
    if (!(error instanceof LedgerError)) throw error
    const message = t(words.notInvitation)
    return { ok: false, trouble: { code: error.code, message, hint: error.hint } }
  }
}
