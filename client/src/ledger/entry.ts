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

const HINT = 'The line is not one of ours, or was cut on the way: send it as it was signed.'

const MEMBERS: Readonly<Record<string, { is: (value: unknown) => boolean; wanted: string }>> = {
  v: { is: (value) => value === 1, wanted: '1' },
  workshop: {
    is: (value) => isFormed(value, forms.key),
    wanted: 'a workshop id, 43 characters of base64url',
  },
  job: {
    is: (value) => value === null || isFormed(value, forms.uuid7),
    wanted: "null for a workshop's statement, else a UUID of version 7",
  },
  device: { is: (value) => isFormed(value, forms.key), wanted: 'a thumbprint, 43 characters of base64url' },
  person: {
    is: (value) => value === CONSOLE || isFormed(value, forms.uuid7),
    wanted: `a UUID of version 7, or "${CONSOLE}"`,
  },
  seq: {
    is: (value) => typeof value === 'number' && Number.isInteger(value) && value >= 1,
    wanted: 'a whole number from 1 up',
  },
  after: { is: isAfter, wanted: `a list of at most ${MAX_AFTER} ids, none twice` },
  at: { is: (value) => isFormed(value, forms.at), wanted: 'a time, YYYY-MM-DDTHH:MM:SS.mmmZ' },
  kind: {
    is: (value) => isFormed(value, forms.kind),
    wanted: 'two names with a dot between, each of at most 32 characters',
  },
  body: {
    is: (value) => typeof value === 'object' && value !== null && !Array.isArray(value),
    wanted: 'an object',
  },
}

/**
 * Read a line. Its signature is not checked here: that needs a key (`verifyEntry`).
 *
 * @throws {LedgerError} `too-large`, `bad-entry`, `bad-key`, `not-canonical` or `bad-body`.
 */
export async function parseEntry(line: string): Promise<Entry> {
  const space = line.indexOf(' ')
  if (space < 0) throw new LedgerError('bad-entry', 'no space between signature and JSON', HINT)
  const [head, text] = [line.slice(0, space), line.slice(space + 1)]
  const bytes = new TextEncoder().encode(text)
  const size = head.length + 1 + bytes.length
  if (size > MAX_LINE_BYTES) {
    const hint = 'Put long text and lists into a blob, or into several entries.'
    throw new LedgerError('too-large', `the line has ${size} bytes, at most ${MAX_LINE_BYTES}`, hint)
  }
  const signature = decode(head, SIGNATURE_BYTES)
  const { v: _, ...members } = checked(readCanonical(text))
  const isKnown = checkBody(members['kind'] as string, members['body'])
  checkJob(members['kind'] as string, members['job'] as string | null)
  return asRead({ ...members, id: hex(await sha256(bytes)), line, signature }, isKnown)
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
  const signature = await sign(device, new TextEncoder().encode(text))
  const signed = await parseEntry(`${encode(signature)} ${text}`)
  if (signed.kind !== 'unread') return signed
  const fact = `${signed.wireKind} has a field that we do not know, or is no kind we know`
  throw new LedgerError('bad-body', fact, 'Write what this app can read.')
}

/** A clock's milliseconds as an `at`. A clock out of its mind is written at the end of the scale it left. */
export function atOf(ms: number): string {
  const first = Date.UTC(-1, 12) // the year 0; Date.UTC(0) would be 1900
  const last = Date.UTC(10000, 0) - 1
  return new Date(Math.min(Math.max(Number.isNaN(ms) ? first : ms, first), last)).toISOString()
}

function checked(said: Json): Record<string, Json> {
  const found =
    typeof said === 'object' && said !== null && !Array.isArray(said) ? Object.keys(said).sort() : []
  const wanted = Object.keys(MEMBERS).sort()
  if (found.join() !== wanted.join()) {
    throw new LedgerError(
      'bad-entry',
      `expected the members ${wanted.join(', ')}, got ${found.join(', ')}`,
      HINT,
    )
  }
  const members = said as Record<string, Json>
  for (const [name, member] of Object.entries(MEMBERS)) {
    if (!member.is(members[name])) {
      const got = JSON.stringify(members[name]).slice(0, 80)
      throw new LedgerError('bad-entry', `${name} must be ${member.wanted}, got ${got}`, HINT)
    }
  }
  return members
}

function checkJob(kind: string, job: string | null): void {
  if (isKind(kind) && (job !== null) !== isJobKind(kind)) {
    const wanted = isJobKind(kind) ? 'names a job' : 'is about no job'
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
