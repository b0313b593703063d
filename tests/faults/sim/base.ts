/**
 * IndexedDB as a phone has it: the double of `fake-indexeddb`, whose windows can die, whose writes
 * can be refused, and whose log can be torn by a full disk.
 */
import 'fake-indexeddb/auto'
import FDBDatabase from 'fake-indexeddb/lib/FDBDatabase'
import FDBFactory from 'fake-indexeddb/lib/FDBFactory'
import FDBObjectStore from 'fake-indexeddb/lib/FDBObjectStore'
import FDBOpenDBRequest from 'fake-indexeddb/lib/FDBOpenDBRequest'
import FDBTransaction from 'fake-indexeddb/lib/FDBTransaction'
import type { Gate, SimDisk } from './disk'

/** What lies inside the double, as far as it is used here. */
interface RawFactory {
  _databases: Map<string, RawDatabase>
  open(name: string, version?: number): unknown
}

interface RawDatabase {
  name: string
  version: number
  rawObjectStores: Map<string, RawStore>
}

/** Records are put in the place of others, and never changed themselves. */
interface Records {
  records: { _root?: Node }
  values(): Iterable<{ key: unknown; value: unknown }>
}

interface Node {
  left: Node | undefined
  right: Node | undefined
  parent: Node | undefined
}

interface RawIndex {
  rawObjectStore: RawStore
  records: Records
}

interface RawStore {
  rawDatabase: RawDatabase
  keyGenerator: object | null
  records: Records
  rawIndexes: Map<string, RawIndex>
}

interface Tx {
  _state: string
  _requests: unknown[]
  mode: string
  db: Connection
  _abort(name: string | null): void
}

interface Connection {
  _closed: boolean
  _closePending: boolean
  _rawDatabase: { transactions: Tx[]; connections: Connection[] }
  addEventListener(type: string, heard: () => void): void
  dispatchEvent(event: unknown): void
}

/** A refusal of the n-th write from now. */
export interface Refusal {
  left: number
  /** `dead`: the handle, not the write. */
  name: 'QuotaExceededError' | 'UnknownError' | 'dead'
  /** All requests have succeeded by then, and the whole is aborted: so Chromium does it. */
  isLate: boolean
}

/** Taken by each change, roughly: a row and its indexes in the log. */
const ROW_BYTES = 2048
/** What rolls a log over. */
const LOG_BYTES = 4 * 2 ** 20

export { FDBOpenDBRequest }

export class SimBase {
  factory = new FDBFactory() as unknown as RawFactory
  refusal: Refusal | null = null
  /** A write met a full disk: what the log holds is lost at the next start, unless it is rolled over before. */
  isTorn = false
  #rolled = 0

  constructor(private readonly disk: SimDisk) {}

  open(window: Window, name: string, version?: number): unknown {
    if (!window.gate.pass('open base')) return new FDBOpenDBRequest()
    const request = this.factory.open(name, version) as {
      addEventListener(type: string, heard: () => void): void
      result: Connection
    }
    const mine = () => {
      owners.set(request.result, { base: this, window })
      window.connections.add(request.result)
    }
    request.addEventListener('upgradeneeded', mine)
    request.addEventListener('success', mine)
    return request
  }

  /** What lies in this one, also in another. */
  copyTo(other: SimBase): void {
    for (const [name, database] of this.factory._databases)
      other.factory._databases.set(name, copyOf(database))
    other.refusal = this.refusal && { ...this.refusal }
    other.isTorn = this.isTorn
    other.#rolled = this.#rolled
  }

  /** All rows of a store as they are on disk. */
  rows<T>(store: string): T[] {
    const kept = this.factory._databases.get('two-turns')?.rawObjectStores.get(store)
    return kept ? [...kept.records.values()].map(({ value }) => value as T) : []
  }

  lose(): void {
    this.factory = new FDBFactory() as unknown as RawFactory
    this.isTorn = false
  }

  /** The browser starts: a torn log cannot be read. */
  begin(): boolean {
    this.#rolled = 0
    if (!this.isTorn) return false
    this.lose()
    return true
  }

  /** Before a change: whether it is refused. */
  meets(tx: Tx, bytes: number, isChurn: boolean): void {
    const { refusal } = this
    if (refusal && --refusal.left <= 0) {
      this.refusal = null
      if (refusal.name === 'dead') tx.db._closePending = true
      abort(tx, refusal.name === 'dead' ? 'UnknownError' : refusal.name, refusal.isLate)
    } else if (this.disk.room < bytes) {
      this.isTorn = true
      abort(tx, 'QuotaExceededError', true)
    } else {
      this.disk.room -= bytes
      if (isChurn && (this.#rolled += bytes) > LOG_BYTES) this.isTorn = false
    }
    if (!isChurn) this.#rolled = 0
  }
}

const like = <T extends object>(one: T, ...given: unknown[]): T =>
  new (one.constructor as new (...given: unknown[]) => T)(...given)

/** The same object in all but some of its parts. */
const withParts = <T extends object>(one: T, parts: Partial<T>): T =>
  Object.assign(Object.create(Object.getPrototypeOf(one) as object) as T, one, parts)

function copyOf(database: RawDatabase): RawDatabase {
  const copy = like(database, database.name, database.version)
  for (const [name, store] of database.rawObjectStores) {
    const rawStore = withParts(store, {
      rawDatabase: copy,
      records: recordsOf(store.records),
      rawIndexes: new Map(),
      keyGenerator: store.keyGenerator && withParts(store.keyGenerator, {}),
    })
    for (const [each, index] of store.rawIndexes)
      rawStore.rawIndexes.set(
        each,
        withParts(index, { rawObjectStore: rawStore, records: recordsOf(index.records) }),
      )
    copy.rawObjectStores.set(name, rawStore)
  }
  return copy
}

function recordsOf(records: Records): Records {
  const tree = withParts(records.records, {})
  if (tree._root) tree._root = nodeOf(tree._root, undefined)
  return withParts(records, { records: tree })
}

function nodeOf(node: Node, parent: Node | undefined): Node {
  const copy = { ...node, parent }
  copy.left = node.left && nodeOf(node.left, copy)
  copy.right = node.right && nodeOf(node.right, copy)
  return copy
}

/** A window's connections, to be cut when it dies. */
export interface Window {
  gate: Gate
  connections: Set<Connection>
}

const owners = new WeakMap<Connection, { base: SimBase; window: Window }>()

const late = new WeakMap<Tx, string>()

function abort(tx: Tx, name: string, isLate: boolean): void {
  if (isLate) late.set(tx, name)
  else queueMicrotask(() => tx._state !== 'finished' && tx._abort(name))
}

export function cut(window: Window): void {
  for (const connection of window.connections) {
    for (const tx of connection._rawDatabase.transactions) {
      // Not in the middle of the call that the window died at: it may have asked for more in the same breath.
      if (tx.db === connection) abort(tx, 'AbortError', false)
    }
    connection._closePending = connection._closed = true
    connection._rawDatabase.connections = connection._rawDatabase.connections.filter(
      (one) => one !== connection,
    )
  }
  window.connections.clear()
}

type Method = (this: never, ...given: never[]) => unknown

function before<C extends { prototype: object }>(
  kind: C,
  name: string,
  act: (self: never, given: unknown[]) => void,
): void {
  const prototype = kind.prototype as Record<string, Method>
  const original = prototype[name] as Method
  prototype[name] = function (this: never, ...given: never[]) {
    act(this, given)
    return original.apply(this, given)
  }
}

before(FDBDatabase, 'transaction', (self: Connection) => {
  const owner = owners.get(self)
  if (owner && !owner.window.gate.pass('transaction'))
    throw new DOMException('the window is dead', 'InvalidStateError')
})

for (const name of ['put', 'add', 'delete']) {
  before(FDBObjectStore, name, (self: { transaction: Tx }, [value, key]) => {
    const tx = self.transaction
    const owner = owners.get(tx.db)
    if (!owner || tx.mode === 'versionchange') return
    if (!owner.window.gate.pass(`${name} row`)) return
    const bytes = name === 'delete' ? 0 : value instanceof ArrayBuffer ? value.byteLength : ROW_BYTES
    owner.base.meets(tx, bytes, typeof key === 'string' && key.startsWith('churn '))
  })
}

before(FDBTransaction, '_start', (self: Tx) => {
  const name = late.get(self)
  if (name && self._requests.length === 0 && self._state !== 'finished') self._abort(name)
})
