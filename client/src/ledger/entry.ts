/**
 * The entry: one signed line, `base64url(signature) SP canonical JSON`. Twin of entry.py.
 * The bytes are kept as they came and never written again.
 *
 * An entry of a kind that this app does not know, or with a field that it does not know, was written
 * by a newer one. It is an entry like any other (signed, numbered, linked, kept, passed on), but of the
 * kind `unread`: whatever goes by kinds leaves it alone, until a newer app reads it.
 */
import { decode, encode, hex } from './base64url'
import type { Body, Kind } from './bodies'
import { canonical, readCanonical, type Json } from './canonical'
import { LedgerError } from './errors'
import { checkBody, forms, isFormed, isJobKind, isKind } from './forms'
import { sha256, sign, SIGNATURE_BYTES, thumbprint, verify, type SigningKey } from './keys'
import * as words from '../words/en/ledger/entry'
import { t } from '../words/message'

const MAX_LINE_BYTES = 64 * 1024
export const MAX_AFTER = 16
/** The person of an entry signed by the workshop key. */
export const CONSOLE = 'console'

/** What the writer says; `v` and `device` are filled in when it is signed. */
export interface Members<K extends Kind = Kind> {
  readonly workshop: string
  readonly job: string | null
  readonly person: string
  readonly seq: number
  readonly after: readonly string[]
  readonly at: string
  readonly kind: K
  readonly body: Body<K>
}

interface Signed {
  readonly id: string
  readonly line: string
  readonly signature: Uint8Array<ArrayBuffer>
  readonly device: string
}

/** What only a newer app can read. `wireKind` and `wireBody` are as they stand in the line. */
export interface Unread extends Omit<Members, 'kind' | 'body'>, Signed {
  readonly kind: 'unread'
  readonly wireKind: string
  readonly body: Readonly<Record<string, never>>
  readonly wireBody: Readonly<Record<string, Json>>
}

/** An entry of any kind; narrowing `kind` narrows `body`. */
export type Entry = EntryOf<Kind> | Unread
export type EntryOf<K extends Kind> = { [Each in K]: Members<Each> & Signed }[K]

const HINT = t(words.badEntryHint)

const MEMBERS: Readonly<Record<string, { is: (value: unknown) => boolean; wanted: string }>> = {
  v: { is: (value) => value === 1, wanted: '1' },
  workshop: {
    is: (value) => isFormed(value, forms.key),
    wanted: t(words.aWorkshopId),
  },
  job: {
    is: (value) => value === null || isFormed(value, forms.uuid7),
    wanted: t(words.nullOrUuid),
  },
  device: { is: (value) => isFormed(value, forms.key), wanted: t(words.aThumbprint) },
  person: {
    is: (value) => value === CONSOLE || isFormed(value, forms.uuid7),
    wanted: t(words.uuidOrConsole, { console: CONSOLE }),
  },
  seq: {
    is: (value) => typeof value === 'number' && Number.isInteger(value) && value >= 1,
    wanted: t(words.aWholeNumber),
  },
  after: { is: isAfter, wanted: t(words.aListOfIds, { maxAfter: MAX_AFTER }) },
  at: { is: (value) => isFormed(value, forms.at), wanted: t(words.aTime) },
  kind: {
    is: (value) => isFormed(value, forms.kind),
    wanted: t(words.twoNames),
  },
  body: {
    is: (value) => typeof value === 'object' && value !== null && !Array.isArray(value),
    wanted: t(words.anObject),
  },
}

/**
 * Read a line. Its signature is not checked here: that needs a key (`verifyEntry`).
 *
 * @throws {LedgerError} `too-large`, `bad-entry`, `bad-key`, `not-canonical` or `bad-body`.
 */
export async function parseEntry(line: string): Promise<Entry> {
  const space = line.indexOf(' ')
  if (space < 0) throw new LedgerError('bad-entry', t(words.noSpace), HINT)
  const [head, text] = [line.slice(0, space), line.slice(space + 1)]
  const bytes = new TextEncoder().encode(text)
  checkSize(head.length + 1 + bytes.length)
  return formed({ line, signature: decode(head, SIGNATURE_BYTES) }, await sha256(bytes), readCanonical(text))
}

/** The entry of the bytes that have this hash, if what they say has its form. */
function formed(
  signed: Pick<Signed, 'line' | 'signature'>,
  hash: Uint8Array<ArrayBuffer>,
  said: Json,
): Entry {
  const { v: _, ...members } = checked(said)
  const isKnown = checkBody(members['kind'] as string, members['body'])
  checkJob(members['kind'] as string, members['job'] as string | null)
  return asRead({ ...members, id: hex(hash), ...signed }, isKnown)
}

/** An entry as its line has it; what only a newer app can read says nothing. */
export function asRead(entry: object, isKnown: boolean): Entry {
  if (isKnown) return entry as Entry
  const { kind, body } = entry as Entry
  return { ...entry, kind: 'unread', body: {}, wireKind: kind, wireBody: body } as unknown as Unread
}

/** The body as it stands in the line. */
export const wireBody = (entry: Entry): object => (entry.kind === 'unread' ? entry.wireBody : entry.body)

/** Whether the entry names this key as its device, and the key signed it. */
export async function verifyEntry(entry: Entry, key: string): Promise<boolean> {
  if ((await thumbprint(key)) !== entry.device) return false
  return verify(key, new TextEncoder().encode(entry.line.slice(entry.line.indexOf(' ') + 1)), entry.signature)
}

/**
 * The signed entry of these members.
 *
 * @throws {LedgerError} As `parseEntry`: what could not be read is not written. Nor what only a newer app could read.
 */
export async function signEntry<K extends Kind>(members: Members<K>, device: SigningKey): Promise<Entry> {
  const text = canonical({ ...members, v: 1, device: device.thumbprint })
  const bytes = new TextEncoder().encode(text)
  const [signature, hash] = await Promise.all([sign(device, bytes), sha256(bytes)])
  const line = `${encode(signature)} ${text}`
  checkSize(line.length - text.length + bytes.length)
  const signed = formed({ line, signature }, hash, JSON.parse(text) as Json) // canonical: written this moment
  if (signed.kind !== 'unread') return signed
  const fact = t(words.unknownField, { wireKind: signed.wireKind })
  throw new LedgerError('bad-body', fact, t(words.unreadHint))
}

/** A clock's milliseconds as an `at`. A clock out of its mind is written at the end of the scale it left. */
export function atOf(ms: number): string {
  const first = Date.UTC(-1, 12) // the year 0; Date.UTC(0) would be 1900
  const last = Date.UTC(10000, 0) - 1
  return new Date(Math.min(Math.max(Number.isNaN(ms) ? first : ms, first), last)).toISOString()
}

function checkSize(size: number): void {
  if (size <= MAX_LINE_BYTES) return
  const fact = t(words.lineTooLong, { head: size, maxLineBytes: MAX_LINE_BYTES })
  throw new LedgerError('too-large', fact, t(words.lineTooLongHint))
}

function checked(said: Json): Record<string, Json> {
  const found =
    typeof said === 'object' && said !== null && !Array.isArray(said) ? Object.keys(said).sort() : []
  const wanted = Object.keys(MEMBERS).sort()
  if (found.join() !== wanted.join()) {
    throw new LedgerError(
      'bad-entry',
      t(words.otherMembers, { members: wanted.join(', '), found: found.join(', ') }),
      HINT,
    )
  }
  const members = said as Record<string, Json>
  for (const [name, member] of Object.entries(MEMBERS)) {
    if (!member.is(members[name])) {
      const got = JSON.stringify(members[name]).slice(0, 80)
      const fact = t(words.badMember, { name, wanted: member.wanted, members: got })
      throw new LedgerError('bad-entry', fact, HINT)
    }
  }
  return members
}

function checkJob(kind: string, job: string | null): void {
  if (isKind(kind) && (job !== null) !== isJobKind(kind)) {
    const wanted = isJobKind(kind) ? t(words.namesJob) : t(words.aboutNoJob)
    throw new LedgerError('bad-entry', `${kind} ${wanted}, got ${job}`, HINT)
  }
}

function isAfter(value: unknown): boolean {
  return (
    Array.isArray(value) &&
    value.length <= MAX_AFTER &&
    value.every((one) => isFormed(one, forms.sha256)) &&
    new Set(value).size === value.length
  )
}
