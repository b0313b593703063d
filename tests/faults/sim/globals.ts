/**
 * A browser whose chance, time and cryptography are the simulation's: with one seed every run is the
 * same to the byte. Imported before anything else; nothing here knows of phones.
 */
import { createHash, createPrivateKey, createPublicKey, sign, verify, type KeyObject } from 'node:crypto'
import { Chance } from './chance'

export interface Timers {
  readonly nowMs: number
  after(ms: number, act: () => void): number
  cancel(timer: number): void
}

/** What the world of this run has put in place. */
export const run: { chance: Chance; timers: Timers; channels: Map<string, Set<SimChannel>> } = {
  chance: new Chance(0),
  timers: { nowMs: 0, after: () => 0, cancel: () => undefined },
  channels: new Map(),
}

// Turns of the event loop. IndexedDB's double asks for one after the other, and all is at rest when none is left.
const realImmediate = setImmediate
let waiting = 0

/** Resolves when nothing moves any more until a timer or an answer comes. */
export async function rest(): Promise<void> {
  do await new Promise((resolve) => realImmediate(resolve))
  while (waiting > 0)
}

const immediate = (act: (...given: unknown[]) => void, ...given: unknown[]) => {
  waiting += 1
  realImmediate(() => {
    waiting -= 1
    act(...given)
  })
}

const hexOf = (bytes: Uint8Array) => Buffer.from(bytes).toString('hex')
const viewOf = (data: ArrayBuffer | Uint8Array) => (data instanceof Uint8Array ? data : new Uint8Array(data))
// A Buffer is a window on a larger one: a copy is not.
const exact = (bytes: Uint8Array): ArrayBuffer => new Uint8Array(bytes).buffer
const PKCS8 = Buffer.from('302e020100300506032b657004220420', 'hex')
const SPKI = Buffer.from('302a300506032b6570032100', 'hex')

/** A key as plain data: it goes through IndexedDB as a real one does. */
interface SimKey {
  type: 'private' | 'public'
  extractable: boolean
  seed: string
  x: string
}

const signers = new Map<string, KeyObject>()
const checkers = new Map<string, KeyObject>()
/** The same record is checked by every phone that pulls it. */
const verdicts = new Map<string, boolean>()

/** Makes a key once. */
function keyIn(made: Map<string, KeyObject>, hex: string, make: () => KeyObject): KeyObject {
  const key = made.get(hex) ?? make()
  made.set(hex, key)
  return key
}

const derOf = (head: Buffer, hex: string) => Buffer.concat([head, Buffer.from(hex, 'hex')])

const signerOf = (seed: string): KeyObject =>
  keyIn(signers, seed, () => createPrivateKey({ key: derOf(PKCS8, seed), format: 'der', type: 'pkcs8' }))

const checkerOf = (x: string): KeyObject =>
  keyIn(checkers, x, () => createPublicKey({ key: derOf(SPKI, x), format: 'der', type: 'spki' }))

function keyOf(seed: string, extractable: boolean): SimKey {
  const der = createPublicKey(signerOf(seed)).export({ format: 'der', type: 'spki' })
  return { type: 'private', extractable, seed, x: hexOf(der.subarray(SPKI.length)) }
}

const subtle = {
  digest: async (_: string, data: ArrayBuffer | Uint8Array) =>
    exact(createHash('sha256').update(viewOf(data)).digest()),
  async generateKey() {
    const privateKey = keyOf(hexOf(run.chance.bytes(32)), false)
    return {
      privateKey,
      publicKey: { type: 'public', extractable: true, seed: '', x: privateKey.x } satisfies SimKey,
    }
  },
  async importKey(format: string, data: Uint8Array, _: string, extractable: boolean): Promise<SimKey> {
    if (format === 'pkcs8') return keyOf(hexOf(data.subarray(PKCS8.length)), extractable)
    return { type: 'public', extractable, seed: '', x: hexOf(data) }
  },
  async exportKey(format: string, key: SimKey) {
    const raw = Buffer.from(key.x, 'hex')
    return format === 'raw' ? exact(raw) : { x: raw.toString('base64url') }
  },
  sign: async (_: string, { seed }: SimKey, data: Uint8Array) => exact(sign(null, data, signerOf(seed))),
  async verify(_: string, { x }: SimKey, signature: Uint8Array, data: Uint8Array) {
    const asked = `${x} ${hexOf(signature)} ${hexOf(data)}`
    const verdict = verdicts.get(asked) ?? verify(null, data, checkerOf(x), signature)
    verdicts.set(asked, verdict)
    return verdict
  },
}

export function forgetVerdicts(): void {
  verdicts.clear()
  signers.clear()
  checkers.clear()
}

/** Node reads its own blobs in threads, whose order nobody can foretell. */
class SimBlob {
  readonly type: string
  readonly #bytes: Uint8Array

  constructor(parts: (ArrayBuffer | Uint8Array | string | SimBlob)[], { type = '' } = {}) {
    this.#bytes = Buffer.concat(
      parts.map((part) =>
        typeof part === 'string' ? Buffer.from(part) : part instanceof SimBlob ? part.#bytes : viewOf(part),
      ),
    )
    this.type = type
  }

  get size(): number {
    return this.#bytes.length
  }

  async arrayBuffer(): Promise<ArrayBuffer> {
    return exact(this.#bytes)
  }
}

/** Between the windows of one phone; a name's part behind `#` tells windows apart and is none of the channel's. */
export class SimChannel {
  onmessage: ((event: { data: unknown }) => void) | null = null
  isOpen = true
  readonly #name: string

  constructor(name: string) {
    this.#name = name.split('#')[0] as string
    const others = run.channels.get(this.#name) ?? new Set()
    run.channels.set(this.#name, others.add(this))
  }

  postMessage(data: unknown): void {
    if (!this.isOpen) return
    for (const other of run.channels.get(this.#name) ?? []) {
      if (other !== this) run.timers.after(0, () => other.isOpen && other.onmessage?.({ data }))
    }
  }

  close(): void {
    this.isOpen = false
    run.channels.get(this.#name)?.delete(this)
  }
}

/** What lies in the database is plain data, and the general way of copying it is slow. */
function copied(value: unknown): unknown {
  if (typeof value !== 'object' || value === null) return value
  if (Array.isArray(value)) return value.map(copied)
  if (value instanceof ArrayBuffer) return value.slice(0)
  if (Object.getPrototypeOf(value) !== Object.prototype) return realClone(value)
  const copy: Record<string, unknown> = {}
  for (const name in value) copy[name] = copied((value as Record<string, unknown>)[name])
  return copy
}
const realClone = structuredClone

/** The double throws one for each index that a row is not in. Node's own are dear to make, and their stacks say nothing. */
class SimException {
  readonly stack: string

  constructor(
    readonly message = '',
    readonly name = 'Error',
  ) {
    this.stack = `${name}: ${message}`
  }
}
Object.setPrototypeOf(SimException.prototype, Error.prototype)

/** Each request has headers and a signal to give it up by; nobody asks for more of either than this. */
class SimHeaders {
  readonly #all = new Map<string, string>()

  constructor(from: Iterable<readonly [string, string]> | Record<string, string> = {}) {
    for (const [name, value] of Symbol.iterator in from ? from : Object.entries(from)) this.set(name, value)
  }

  get(name: string): string | null {
    return this.#all.get(name.toLowerCase()) ?? null
  }

  set(name: string, value: string): void {
    this.#all.set(name.toLowerCase(), value)
  }

  [Symbol.iterator](): Iterator<[string, string]> {
    return this.#all[Symbol.iterator]()
  }
}

class SimAbort {
  readonly signal = {
    aborted: false,
    heard: [] as (() => void)[],
    addEventListener: (_: string, hear: () => void) => void this.signal.heard.push(hear),
  }

  abort(): void {
    if (this.signal.aborted) return
    this.signal.aborted = true
    for (const hear of this.signal.heard) hear()
  }
}

/** An answer that was read piece by piece, put together again. */
class SimResponse {
  readonly ok: boolean
  readonly status: number
  readonly headers: unknown
  readonly #body: SimBlob

  constructor(body: SimBlob | null, { status, headers }: { status: number; headers: unknown }) {
    this.ok = status >= 200 && status < 300
    this.status = status
    this.headers = headers
    this.#body = body ?? new SimBlob([])
  }

  arrayBuffer(): Promise<ArrayBuffer> {
    return this.#body.arrayBuffer()
  }

  async json(): Promise<unknown> {
    return JSON.parse(new TextDecoder().decode(await this.arrayBuffer())) as unknown
  }
}

const place = (name: string, value: unknown) =>
  Object.defineProperty(globalThis, name, { value, writable: true, configurable: true })

/** What fills a disk is asked for by so many at once, and nobody looks at it: zeros do, and cost nothing. */
const FILLER_BYTES = 48 * 1024

place('crypto', {
  subtle,
  getRandomValues: (into: Uint8Array) => (into.length < FILLER_BYTES && run.chance.fill(into), into),
})
place('setImmediate', immediate)
/** What sync waits when it has nothing to do: a page in a pocket is asleep, and people wake it. */
const IDLE_MS = 60_000

place('setTimeout', (act: () => void, ms = 0) => (ms === IDLE_MS ? 0 : run.timers.after(ms, act)))
place('clearTimeout', (timer: number | undefined) => timer !== undefined && run.timers.cancel(timer))
place('structuredClone', copied)
place('DOMException', SimException)
place('Headers', SimHeaders)
place('AbortController', SimAbort)
place('Response', SimResponse)
place('Blob', SimBlob)
place('BroadcastChannel', SimChannel)
place('performance', { now: () => run.timers.nowMs })
