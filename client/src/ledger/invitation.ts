/** What stands behind `#invite=` in an invitation's link. Twin of the last part of roster.py. */
import { decode, encode } from './base64url'
import type { Role } from './bodies'
import { canonicalBytes, readCanonicalBytes } from './canonical'
import { LedgerError } from './errors'
import { forms, isFormed } from './forms'
import { KEY_BYTES } from './keys'
import * as words from '../words/en/ledger/invitation'
import { t } from '../words/message'

/** `key` is the workshop's, `invitation` an entry's id, `secret` the seed of the invitation's own key. */
export interface Invitation {
  readonly workshop: string
  readonly key: string
  readonly invitation: string
  readonly role: Role
  readonly person: string
  readonly secret: Uint8Array<ArrayBuffer>
}

const ROLE = 'owner|mechanic|auditor'
const FORMS: Readonly<Record<string, string>> = {
  invitation: forms.sha256,
  key: forms.key,
  person: forms.uuid7,
  role: ROLE,
  secret: forms.key,
  workshop: forms.key,
}

export function invitationText(invitation: Invitation): string {
  return encode(canonicalBytes({ ...invitation, secret: encode(invitation.secret), v: 1 }))
}

/**
 * Read the text of an invitation.
 *
 * @throws {LedgerError} `bad-invitation` if it is not one, or was cut off.
 */
export function readInvitation(text: string): Invitation {
  try {
    const said = readCanonicalBytes(decode(text))
    if (!isInvitation(said)) throw refused(t(words.otherMembers))
    const { v: _, secret, ...rest } = said
    return { ...rest, secret: decode(secret, KEY_BYTES) }
  } catch (error) {
    if (error instanceof LedgerError && error.code !== 'bad-invitation') throw refused(error.message)
    throw error
  }
}

type Said = Omit<Invitation, 'secret'> & { v: 1; secret: string }

function isInvitation(said: unknown): said is Said {
  if (typeof said !== 'object' || said === null) return false
  const { v, ...rest } = said as Readonly<Record<string, unknown>>
  return (
    v === 1 &&
    Object.keys(rest).sort().join() === Object.keys(FORMS).join() &&
    Object.entries(FORMS).every(([name, form]) => isFormed(rest[name], form))
  )
}

function refused(fact: string): LedgerError {
  return new LedgerError('bad-invitation', t(words.notAnInvitation, { fact }), t(words.notAnInvitationHint))
}
