/** Private values: what can be erased. Twin of private.py, which says why. */
import { decode, encode, hex } from './base64url'
import { canonicalBytes, readCanonicalBytes } from './canonical'
import { LedgerError } from './errors'
import { sha256 } from './keys'
import * as words from '../words/en/ledger/private'
import { t } from '../words/message'

const privateFields = ['vin', 'plate', 'name', 'phone', 'customer', 'words', 'signature'] as const
export type PrivateField = (typeof privateFields)[number]

interface PrivateValue {
  readonly field: PrivateField
  readonly value: string
  readonly salt: Uint8Array<ArrayBuffer>
}

export const SALT_BYTES = 16
const MAX_BYTES = 4 * 1024
const HINT = t(words.badPrivateValueHint)

/**
 * The blob of a private value. `salt`: 16 random bytes, fresh for each blob.
 *
 * @throws {LedgerError} As `readPrivate`: what could not be read is not written.
 */
export function writePrivate(field: PrivateField, value: string, salt: Uint8Array): Uint8Array<ArrayBuffer> {
  const bytes = canonicalBytes({ field, salt: encode(salt), value })
  readPrivate(bytes)
  return bytes
}

/**
 * Read a blob.
 *
 * @throws {LedgerError} `too-large` over 4 KiB, `not-canonical`, or `bad-private-value`.
 */
export function readPrivate(bytes: Uint8Array): PrivateValue {
  if (bytes.length > MAX_BYTES) {
    const fact = t(words.valueTooLong, { data: bytes.length, maxBytes: MAX_BYTES })
    throw new LedgerError('too-large', fact, t(words.valueTooLongHint))
  }
  const said = readCanonicalBytes(bytes)
  if (!isObject(said) || Object.keys(said).sort().join() !== 'field,salt,value') {
    throw refused(t(words.otherMembers))
  }
  const { field, salt, value } = said
  const known = privateFields.find((one) => one === field)
  if (known === undefined) throw refused(t(words.otherField, { expected: privateFields.join(', ') }))
  if (typeof value !== 'string' || typeof salt !== 'string') throw refused(t(words.notText))
  return { field: known, value, salt: readSalt(salt) }
}

/** The name of a blob: its SHA-256 in hex. */
export async function blobId(bytes: Uint8Array<ArrayBuffer>): Promise<string> {
  return hex(await sha256(bytes))
}

function readSalt(text: string): Uint8Array<ArrayBuffer> {
  try {
    return decode(text, SALT_BYTES)
  } catch (error) {
    throw refused(t(words.salt, { error: (error as Error).message }))
  }
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
}

function refused(fact: string): LedgerError {
  return new LedgerError('bad-private-value', fact, HINT)
}
