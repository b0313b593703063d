/**
 * Canonical JSON: RFC 8785, narrowed until every serialiser gives the same text (formats.md, section 3).
 * Twin of server/twoturns/ledger/canonical.py. Reading is parse, write again, compare: nothing is repaired.
 */
import { LedgerError } from './errors'
import * as words from '../words/en/ledger/canonical'
import { t } from '../words/message'

export type Json = null | boolean | number | string | readonly Json[] | { readonly [key: string]: Json }

const MAX_TEXT = 2000 // code points; longer text is a blob
const MAX_DEPTH = 16

const KEY = /^[a-z][a-z0-9_]*$/
const HALF_A_PAIR = /\p{Surrogate}/u // in u mode a whole pair is one character, not a surrogate
const HINT = t(words.notCanonicalHint)

/**
 * The canonical text of a value. A member that is `undefined` is refused, not left out: JSON has no such value.
 *
 * @throws {LedgerError} `not-canonical`, naming the place, if the value has none.
 */
export function canonical(value: unknown): string {
  return write(value, '$', 0)
}

/** The UTF-8 bytes of the canonical text. */
export function canonicalBytes(value: unknown): Uint8Array<ArrayBuffer> {
  return new TextEncoder().encode(canonical(value))
}

/**
 * The value whose canonical text this is.
 *
 * @throws {LedgerError} `not-canonical` if it is that of no value.
 */
export function readCanonical(text: string): Json {
  let value: Json
  try {
    value = JSON.parse(text) as Json
  } catch (error) {
    throw new LedgerError('not-canonical', t(words.notJson, { error: (error as Error).message }), HINT)
  }
  const written = canonical(value)
  if (written !== text) throw new LedgerError('not-canonical', difference(text, written), HINT)
  return value
}

/** The same, from the text's UTF-8 bytes. */
export function readCanonicalBytes(bytes: Uint8Array): Json {
  let text: string
  try {
    // ignoreBOM: a byte order mark stays in the text, where JSON refuses it.
    text = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes)
  } catch {
    throw new LedgerError('not-canonical', t(words.notUtf8), HINT)
  }
  return readCanonical(text)
}

function write(value: unknown, where: string, depth: number): string {
  if (typeof value === 'string') return writeText(value, where)
  if (typeof value === 'number') return writeInteger(value, where)
  if (value === null || typeof value === 'boolean') return String(value)
  if (Array.isArray(value)) {
    checkDepth(where, depth)
    // Not map: it leaves out holes.
    return `[${Array.from(value, (inner, position) => write(inner, `${where}[${position}]`, depth + 1)).join(',')}]`
  }
  if (typeof value === 'object' && isPlain(value)) {
    checkDepth(where, depth)
    return writeObject(value as Record<string, unknown>, where, depth)
  }
  throw refused(where, `a ${typeof value}`)
}

function writeObject(value: Record<string, unknown>, where: string, depth: number): string {
  // ASCII keys: JavaScript's order of UTF-16 units is also the order of bytes.
  const members = Object.keys(value).sort()
  for (const key of members) {
    if (!KEY.test(key) || key.length > MAX_TEXT) {
      throw refused(where, t(words.badKey, { key: `'${key.slice(0, 80)}'` }))
    }
  }
  return `{${members.map((key) => `"${key}":${write(value[key], `${where}.${key}`, depth + 1)}`).join(',')}}`
}

function writeInteger(value: number, where: string): string {
  if (!Number.isInteger(value)) throw refused(where, t(words.fraction))
  if (!Number.isSafeInteger(value)) throw refused(where, t(words.integerTooLarge, { value }))
  if (Object.is(value, -0)) throw refused(where, t(words.minusZero))
  return String(value)
}

function writeText(text: string, where: string): string {
  // A code point has one or two units: only texts in between need counting.
  if (text.length > MAX_TEXT && (text.length > 2 * MAX_TEXT || [...text].length > MAX_TEXT)) {
    throw refused(where, t(words.textOver, { maxText: MAX_TEXT }))
  }
  if (HALF_A_PAIR.test(text)) throw refused(where, t(words.halfSurrogatePair))
  if (text.normalize('NFC') !== text) throw refused(where, t(words.notNfc))
  return JSON.stringify(text)
}

/** Not a Date, a Map or a typed array: those would be written as something else than they are. */
function isPlain(value: object): boolean {
  const prototype: unknown = Object.getPrototypeOf(value)
  return prototype === Object.prototype || prototype === null
}

function checkDepth(where: string, depth: number): void {
  if (depth >= MAX_DEPTH) throw refused(where, t(words.tooDeep, { maxDepth: MAX_DEPTH }))
}

function refused(where: string, found: string): LedgerError {
  return new LedgerError('not-canonical', `${where.slice(0, 200)} is ${found}`, HINT)
}

function difference(found: string, expected: string): string {
  let at = 0
  while (at < found.length && found[at] === expected[at]) at += 1
  const [got, want] = [found, expected].map((text) => JSON.stringify(text.slice(at, at + 20)))
  return t(words.characterNotCanonical, { at, got: got!, want: want! })
}
