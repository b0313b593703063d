/**
 * A workshop for tests: the contract's server side over a plain array, behind a `fetch`.
 * It signs with the same ledger room that the phone checks with; that the two languages agree on
 * every byte is the business of the differential tests.
 */
import { encode, encodePadded, hex } from '@client/ledger/base64url'
import type { Body, Kind, Role } from '@client/ledger/bodies'
import { canonical, readCanonicalBytes, type Json } from '@client/ledger/canonical'
import { keyId } from '@client/ledger/checkpoint'
import { CONSOLE, parseEntry, signEntry, type Entry } from '@client/ledger/entry'
import { invitationText } from '@client/ledger/invitation'
import {
  generateKey,
  keyFromSeed,
  recoveryMessage,
  sha256,
  sign,
  successionMessage,
  type SigningKey,
} from '@client/ledger/keys'
import { blobId, writePrivate } from '@client/ledger/private'
import { parseRecord } from '@client/ledger/record'
import { uuid7 } from '@client/ledger/uuid'

type Hash = Uint8Array<ArrayBuffer>
const bytesOf = (text: string) => new TextEncoder().encode(text)
const NOON = '2026-11-24T12:00:00.000Z'

export interface Asked {
  method: string
  path: string
  body: unknown
  headers: Headers
}

/** What stands between phone and workshop in one test; returning undefined lets a request through. */
export type Line = (asked: Asked, answer: () => Promise<Response>) => Promise<Response> | undefined

export class FakeWorkshop {
  records: { entry: Entry; text: string }[] = []
  blobs = new Map<string, Uint8Array>()
  halves = new Map<string, { length: number; bytes: Uint8Array }>()
  bundles: Record<string, unknown>[] = []
  asked: Asked[] = []
  /** Codes to refuse entries with, by kind. */
  refuses: Partial<Record<Kind, string>> = {}
  /** Kinds that it keeps and is too old to act on. */
  unread: string[] = []
  /** Blobs that are damaged or missing on its disk. */
  wanted: string[] = []
  line: Line = () => undefined
  #seq = 0
  #sessions = 0
  signedIn = false
  revoked = false
  /** It gives no receipt of an enrolment, and refuses one. */
  isOlder = false

  private constructor(
    public key: SigningKey,
    readonly id: string,
  ) {}

  /** `paper` is a recovery key that the first record commits to. */
  static async open(paper?: SigningKey): Promise<FakeWorkshop> {
    const key = await generateKey()
    const workshop = new FakeWorkshop(key, key.thumbprint)
    const recovery = paper ? { edition: 2, recovery: paper.thumbprint } : {}
    await workshop.state('workshop.keyed', { key: key.key, name: 'Cogline Garage', ...recovery })
    return workshop
  }

  /** The same ledger in other hands: it goes on by itself from here. */
  fork(): FakeWorkshop {
    const other = new FakeWorkshop(this.key, this.id)
    other.records = [...this.records]
    other.blobs = new Map(this.blobs)
    other.#seq = this.#seq
    return other
  }

  /** The key signs for a new one, which signs from now on. `by` is somebody else, who tries. */
  async handOver(by = this.key): Promise<void> {
    const key = await generateKey()
    const signature = encode(await sign(by, successionMessage({ key: key.key, workshop: this.id })))
    await this.#succeed(key, { signed_by: { key: by.key, signature } })
  }

  /** The recovery key signs for a new key, and commits to the next paper. */
  async recover(paper: SigningKey, size: number, next: SigningKey, root?: string): Promise<void> {
    const key = await generateKey()
    const said = { key: key.key, recovery: next.thumbprint, root: root ?? hex(await this.root(size)), size }
    const signature = encode(await sign(paper, recoveryMessage({ ...said, workshop: this.id })))
    const recovered = { key: paper.key, signature, root: said.root, size }
    await this.#succeed(key, { recovery: next.thumbprint, recovered })
  }

  async #succeed(key: SigningKey, how: Partial<Body<'workshop.keyed'>>): Promise<void> {
    this.key = key
    this.#seq = 0
    await this.state('workshop.keyed', { key: key.key, name: 'Cogline Garage', ...how })
  }

  get sessions(): number {
    return this.#sessions
  }

  /** What the console's entries have in common. */
  #next() {
    return { workshop: this.id, person: CONSOLE, seq: ++this.#seq, after: [], at: NOON }
  }

  /** The console says something; it enters the ledger at once. */
  async state<K extends Kind>(kind: K, body: Body<K>, leap = 0): Promise<Entry> {
    this.#seq += leap
    const entry = await signEntry({ ...this.#next(), job: null, kind, body }, this.key)
    this.add(entry)
    if (entry.kind === 'blob.erased') this.blobs.delete(entry.body.blob)
    return entry
  }

  /** The console says what only a newer app can read. */
  async stateNewer(kind: string, body: Json, job: string | null = null): Promise<Entry> {
    const members = { ...this.#next(), job, kind, body, v: 1, device: this.key.thumbprint }
    const text = canonical(members)
    const entry = await parseEntry(`${encode(await sign(this.key, bytesOf(text)))} ${text}`)
    this.add(entry)
    return entry
  }

  add(entry: Entry): number {
    const index = this.records.findIndex((one) => one.entry.id === entry.id)
    if (index >= 0) return index
    return this.records.push({ entry, text: `${NOON} +0 ${entry.line}` }) - 1
  }

  async name(person: string, says: string): Promise<void> {
    const name = writePrivate('name', says, crypto.getRandomValues(new Uint8Array(16)))
    this.blobs.set(await blobId(name), name)
    await this.state('person.named', { person, name: { blob: await blobId(name) } })
  }

  async invite(role: Role): Promise<string> {
    const seed = crypto.getRandomValues(new Uint8Array(32))
    const person = uuid7(Date.now(), crypto.getRandomValues(new Uint8Array(10)))
    await this.name(person, 'Ada Weir')
    const { key } = await keyFromSeed(seed)
    const said = await this.state('device.invited', { key, role, person, until: '2026-11-24T13:00:00.000Z' })
    const whole = { workshop: this.id, key: this.key.key, invitation: said.id, role, person, secret: seed }
    return `http://workshop.test/#invite=${invitationText(whole)}`
  }

  async checkpoint(key = this.key, size = this.records.length): Promise<string> {
    const origin = `two-turns/${this.id}`
    const text = `${origin}\n${size}\n${encodePadded(await this.root(size))}\n`
    const signature = [...(await keyId(origin, key.key)), ...(await sign(key, bytesOf(text)))]
    return `${text}\n\u2014 ${origin} ${encodePadded(new Uint8Array(signature))}\n`
  }

  async root(size: number): Promise<Hash> {
    return treeRoot(await this.#leaves(size))
  }

  readonly fetch = async (path: string, init: RequestInit = {}): Promise<Response> => {
    const body = typeof init.body === 'string' ? (JSON.parse(init.body) as unknown) : init.body
    const asked = { method: init.method ?? 'GET', path, body, headers: new Headers(init.headers) }
    this.asked.push(asked)
    return (this.line(asked, () => this.#answer(asked)) ?? this.#answer(asked)) as Promise<Response>
  }

  async #answer(asked: Asked): Promise<Response> {
    const { pathname, searchParams } = new URL(asked.path, 'http://workshop.test')
    const route = `${asked.method} ${pathname.replace(/[0-9a-f]{64}/, 'SHA').replace(/\/jobs\/[^/]+/, '/jobs/JOB')}`
    const open: Record<string, () => Promise<Response>> = {
      'GET /api/workshop': async () =>
        json({ workshop: this.id, key: this.key.key, name: 'Cogline Garage', version: '1' }),
      'GET /api/keys': () => this.#keys(),
      'POST /api/enrol': () => this.#enrol(asked),
      'POST /api/session/nonce': async () => this.#nonce((asked.body as { device: string }).device),
      'POST /api/session': async () => this.#signIn(),
      'DELETE /api/session': async () => this.#signOut(),
    }
    if (open[route]) return open[route]()
    if (!this.signedIn) return refusal(401, 'not-signed-in')
    const writes: Record<string, () => Promise<Response>> = {
      'POST /api/entries': () => this.#append(asked),
      'POST /api/uploads': () => this.#begin(asked.headers),
      'PATCH /api/uploads/SHA': () => this.#goOn(pathname.slice(-64), asked),
      'GET /api/blobs/SHA/receipt': () => this.#receipt(pathname.split('/')[3] as string, asked.headers),
    }
    if (writes[route]) return writes[route]()
    if (this.revoked) return refusal(401, 'device-revoked')
    const reads: Record<string, () => Promise<Response>> = {
      'GET /api/log': () => this.#log(searchParams, asked.headers, this.#toldUnasked(searchParams)),
      'GET /api/jobs/JOB/log': () =>
        this.#log(searchParams, asked.headers, (entry) => entry.job === pathname.split('/')[3]),
      'GET /api/bundles': async () => this.#bundles(asked.headers),
      'GET /api/bundles/SHA': async () => this.#blob(pathname.slice(-64), 'application/json', asked.headers),
      'GET /api/blobs/SHA': async () =>
        this.#blob(pathname.slice(-64), 'application/octet-stream', asked.headers),
      'GET /api/consistency': () =>
        this.#consistency(Number(searchParams.get('from')), Number(searchParams.get('to'))),
    }
    return reads[route]?.() ?? refusal(404, 'not-found')
  }

  #nonce(device: string): Response {
    const isIn = this.records.some(({ entry }) => entry.kind === 'device.enrolled' && entry.device === device)
    return isIn ? json({ nonce: 'n' }) : refusal(401, 'unknown-device')
  }

  async #signIn(): Promise<Response> {
    this.signedIn = true
    this.#sessions += 1
    return json({ role: 'mechanic', person: 'p', until: NOON })
  }

  async #keys(): Promise<Response> {
    const led = ['workshop.keyed', 'recovery.committed', 'rules.began']
    const records = this.records.flatMap(({ entry, text }, index) =>
      led.includes(entry.kind) ? [{ index, record: text }] : [],
    )
    return json({
      records,
      checkpoint: await this.checkpoint(),
      proof: await this.#proof(records.map(({ index }) => index)),
    })
  }

  #signOut(): Response {
    this.signedIn = false
    return new Response(null, { status: 204 })
  }

  async #enrol({ body, headers }: Asked): Promise<Response> {
    const { line, receipt } = body as { line: string; receipt?: { invitation: { record: string } } }
    if (receipt && this.isOlder) return refusal(422, 'invalid')
    this.signedIn = false
    const said = await parseEntry(line)
    const named = (said.body as Body<'device.enrolled'>).invitation
    const invited = () => this.records.findIndex(({ entry }) => entry.id === named)
    if (invited() < 0 && receipt) this.add((await parseRecord(receipt.invitation.record)).entry)
    if (invited() < 0) return refusal(403, 'enrolment-refused')
    const enrolled = await this.#place(this.add(said))
    const invitation = {
      index: invited(),
      record: this.records[invited()]?.text,
      proof: await this.#proof([invited()]),
    }
    return json({
      ...enrolled,
      ...(this.isOlder ? {} : { invitation }),
      rewound: await this.#isRewound(headers),
    })
  }

  /** Whom it tells all to unasked, and a desk (`Desk` in store/sight.py): open jobs, and the end of those it has as open. */
  #toldUnasked(asked: URLSearchParams): (entry: Entry) => boolean {
    if (!asked.has('held')) return () => true
    const placesOf = (job: string | null) =>
      this.records.flatMap(({ entry }, index) => (entry.job === job ? [{ kind: entry.kind, index }] : []))
    return ({ job, kind }) => {
      if (job === null) return kind !== 'blob.kept'
      const places = placesOf(job)
      const ended = places.find((one) => one.kind === 'job.closed')?.index
      const began = places[0]?.index ?? 0
      return ended === undefined || (ended >= Number(asked.get('since')) && began < Number(asked.get('held')))
    }
  }

  async #log(asked: URLSearchParams, headers: Headers, shows: (entry: Entry) => boolean): Promise<Response> {
    const [since, most] = [Number(asked.get('since')), Number(asked.get('most') ?? 500)]
    const shown = this.records.flatMap(({ entry, text }, index) =>
      index >= since && shows(entry) ? [{ index, record: text }] : [],
    )
    if (!asked.has('held') && !this.records.some(({ entry }) => shows(entry)))
      return refusal(404, 'not-found')
    const [records, after] = [shown.slice(0, most), shown[most]]
    return json({
      proof: await this.#proof(records.map(({ index }) => index)),
      records,
      next: after?.index ?? Math.max(since, this.records.length),
      more: after !== undefined,
      checkpoint: await this.checkpoint(),
      standings: {},
      rewound: await this.#isRewound(headers),
      wanted: this.wanted,
    })
  }

  async #append({ body, headers }: Asked): Promise<Response> {
    const { lines, blobs } = body as { lines: string[]; blobs: string[] }
    if (lines.length > 50) return refusal(422, 'invalid')
    const indices: Record<string, number> = {}
    const refused: object[] = []
    const entries: Entry[] = []
    for (const [line, text] of lines.entries()) {
      const entry = await parseEntry(text)
      entries.push(entry)
      const code = entry.kind === 'unread' ? undefined : (this.refuses[entry.kind] ?? this.#strangers(entry))
      if (code)
        refused.push({ line, id: entry.id, code, message: `${entry.kind} was not taken`, hint: 'Ask.' })
      else indices[entry.id] = this.add(entry)
    }
    const kept = await Promise.all(blobs.map((text) => this.#keep(bytesOf(text))))
    const stamps = Object.fromEntries(Object.keys(indices).map((id) => [id, `${NOON} +0`]))
    const proof = await this.#proof([...Object.values(indices), ...kept.map(({ index }) => index)])
    const checkpoint = await this.checkpoint()
    const unread = entries
      .filter(({ id, kind }) => id in indices && this.unread.includes(kind))
      .map(({ id }) => id)
    return json({
      checkpoint,
      indices,
      stamps,
      kept,
      proof,
      refused,
      unread,
      rewound: await this.#isRewound(headers),
    })
  }

  /** Every invitation is over by now: a device that is not in comes in among entries no more. */
  #strangers({ device, person }: Entry): string | undefined {
    const isIn = this.records.some(({ entry }) => entry.kind === 'device.enrolled' && entry.device === device)
    return isIn || person === CONSOLE ? undefined : 'unknown-device'
  }

  async #keep(bytes: Uint8Array<ArrayBuffer>): Promise<{ index: number; record: string }> {
    const blob = await blobId(bytes)
    this.blobs.set(blob, bytes)
    const entry = await this.state('blob.kept', { blobs: [{ blob, size: bytes.length }] })
    const index = this.records.findIndex((one) => one.entry.id === entry.id)
    return { index, record: this.records[index]?.text ?? '' }
  }

  async #begin(headers: Headers): Promise<Response> {
    const [, named = ''] = (headers.get('Upload-Metadata') ?? '').split(' ')
    const [sha, length] = [atob(named), Number(headers.get('Upload-Length'))]
    const whole = this.blobs.get(sha)
    if (!whole && !this.halves.has(sha)) this.halves.set(sha, { length, bytes: new Uint8Array() })
    return tus(201, whole ? whole.length : (this.halves.get(sha)?.bytes.length ?? 0))
  }

  async #goOn(sha: string, { headers, body }: Asked): Promise<Response> {
    const half = this.halves.get(sha)
    if (!half) return refusal(404, 'no-upload')
    if (Number(headers.get('Upload-Offset')) !== half.bytes.length) return refusal(409, 'wrong-offset')
    half.bytes = new Uint8Array(await new Blob([half.bytes as Hash, body as ArrayBuffer]).arrayBuffer())
    if (half.bytes.length === half.length) {
      this.halves.delete(sha)
      if (hex(await sha256(half.bytes as Hash)) !== sha) return refusal(460, 'wrong-hash')
      await this.#keep(half.bytes as Hash)
    }
    return tus(204, half.bytes.length)
  }

  async #receipt(sha: string, headers: Headers): Promise<Response> {
    // The last: one before it may speak of a disk that is lost.
    const isReceipt = ({ entry }: { entry: Entry }) =>
      entry.kind === 'blob.kept' && entry.body.blobs.some(({ blob }) => blob === sha)
    const index = this.records.map(isReceipt).lastIndexOf(true)
    if (index < 0) return refusal(404, 'not-found')
    return json({ ...(await this.#place(index)), rewound: await this.#isRewound(headers) })
  }

  async #place(index: number): Promise<object> {
    const [checkpoint, proof] = [await this.checkpoint(), await this.#proof([index])]
    return { index, record: this.records[index]?.text, checkpoint, proof }
  }

  async #proof(indices: number[]): Promise<string[]> {
    return (await around(await this.#leaves(this.records.length), indices)).map(encodePadded)
  }

  #bundles(headers: Headers): Response {
    const etag = `"${this.bundles.length}"`
    if (headers.get('If-None-Match') === etag) return new Response(null, { status: 304 })
    return json({ bundles: this.bundles }, { ETag: etag })
  }

  #blob(sha: string, type: string, headers: Headers): Response {
    const bytes = this.blobs.get(sha)
    return bytes ? ranged(bytes as Hash, type, `"${sha}"`, headers) : refusal(404, 'not-found')
  }

  async #consistency(from: number, to: number): Promise<Response> {
    const path = from === to ? [] : await consistencyPath(await this.#leaves(to), from)
    return json({ path: path.map(encodePadded) })
  }

  async #isRewound(headers: Headers): Promise<boolean> {
    const [size, root] = (headers.get('Two-Turns-Seen') ?? '').split(' ')
    if (!size) return false
    return Number(size) > this.records.length || encodePadded(await this.root(Number(size))) !== root
  }

  #leaves(size: number): Promise<Hash[]> {
    return Promise.all(
      this.records.slice(0, size).map(({ text }) => sha256(new Uint8Array([0, ...bytesOf(text)]))),
    )
  }
}

/** A procedure in the ledger and among the blobs; `picture` is what its one asset is. */
export async function publish(
  workshop: FakeWorkshop,
  picture: Uint8Array<ArrayBuffer>,
  v = 1,
  rules: Json[] = [],
): Promise<string> {
  const asset = await blobId(picture)
  workshop.blobs.set(asset, picture)
  const text = `{"assets":[{"blob":"${asset}","name":"cover","type":"image/png"}],"rules":${JSON.stringify(rules)},"v":${v}}`
  readCanonicalBytes(bytesOf(text))
  const bundle = await blobId(bytesOf(text))
  workshop.blobs.set(bundle, bytesOf(text))
  const said = { bundle, name: 'Van drive', edition: 1, engine_codes: ['QX19'] }
  await workshop.state('bundle.published', said)
  workshop.bundles.push({ ...said, id: 'van_drive', withdrawn: null, size: text.length, index: 0 })
  return bundle
}

const json = (said: unknown, headers: Record<string, string> = {}) =>
  new Response(JSON.stringify(said), { headers: { 'Content-Type': 'application/json', ...headers } })

export const refusal = (status: number, code: string) =>
  new Response(JSON.stringify({ code, message: `refused: ${code}`, hint: 'Do something else.' }), {
    status,
    headers: { 'Content-Type': 'application/json' },
  })

/** The bytes, or of these the part that is asked for (RFC 9110, section 14). */
export function ranged(bytes: Uint8Array<ArrayBuffer>, type: string, etag: string, asked: Headers): Response {
  const headers = { 'Content-Type': type, ETag: etag }
  const [from = NaN, to = NaN] = (/^bytes=(\d+)-(\d+)$/.exec(asked.get('Range') ?? '') ?? [])
    .slice(1)
    .map(Number)
  if (Number.isNaN(from) || (asked.get('If-Range') ?? etag) !== etag) return new Response(bytes, { headers })
  if (from >= bytes.length) return refusal(416, 'bad-range')
  const part = bytes.slice(from, to + 1)
  const range = `bytes ${from}-${from + part.length - 1}/${bytes.length}`
  return new Response(part, { status: 206, headers: { ...headers, 'Content-Range': range } })
}

/** A captive portal: 200, and a page of its own. */
export const portal = async () =>
  new Response('<h1>Accept our terms</h1>', { headers: { 'Content-Type': 'text/html' } })

const tus = (status: number, offset: number) =>
  new Response(null, { status, headers: { 'Tus-Resumable': '1.0.0', 'Upload-Offset': String(offset) } })

const node = (left: Hash, right: Hash) => sha256(new Uint8Array([1, ...left, ...right]))

/** Largest power of two below n. */
const split = (n: number) => 2 ** (Math.ceil(Math.log2(n)) - 1)

async function treeRoot(leaves: Hash[]): Promise<Hash> {
  const [only] = leaves
  if (leaves.length < 2) return only ?? sha256(new Uint8Array())
  const k = split(leaves.length)
  return node(await treeRoot(leaves.slice(0, k)), await treeRoot(leaves.slice(k)))
}

/** The roots of the subtrees that hold none of the wanted leaves, from left to right. */
async function around(leaves: Hash[], wanted: number[]): Promise<Hash[]> {
  if (!wanted.length) return [await treeRoot(leaves)]
  if (leaves.length === 1) return []
  const k = split(leaves.length)
  return [
    ...(await around(
      leaves.slice(0, k),
      wanted.filter((index) => index < k),
    )),
    ...(await around(
      leaves.slice(k),
      wanted.filter((index) => index >= k).map((index) => index - k),
    )),
  ]
}

/** RFC 9162 section 2.1.4.1, PROOF(m, D_n). */
async function consistencyPath(leaves: Hash[], m: number, isWhole = true): Promise<Hash[]> {
  if (m === leaves.length) return isWhole ? [] : [await treeRoot(leaves)]
  const k = split(leaves.length)
  return m <= k
    ? [...(await consistencyPath(leaves.slice(0, k), m, isWhole)), await treeRoot(leaves.slice(k))]
    : [...(await consistencyPath(leaves.slice(k), m - k, false)), await treeRoot(leaves.slice(0, k))]
}
