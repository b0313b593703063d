/**
 * The one door to IndexedDB. Every write is strict and counts only at the transaction's `complete`:
 * a request's success says nothing, the whole may still be aborted for want of room.
 */
import { openDB, type DBSchema, type IDBPDatabase, type IDBPTransaction, type StoreNames } from 'idb'
import { UpgradeBlocked } from './errors'
import type { BundleRow, Standing, Trouble } from './types'
import type { JobView } from './view'

export interface EntryRow {
  id: string
  line: string
  /** Job id, or '' for a statement of the workshop. */
  job: string
  kind: string
  /** 1 when written on this phone: IndexedDB has no key for true. */
  mine: 0 | 1
  /** Place in the workshop's ledger, absent until received. */
  index?: number
  standing: Standing
  /** Order of sending; absent once received. */
  waiting?: number
  refused?: Trouble
  /** `DEVICE SEQ`, only on what was written here: the same place is never given twice. */
  slot?: string
}

export interface ValueRow {
  blob: string
  text: string
  /** 1 until the workshop has said that it keeps it. */
  waiting?: 1
  /** Index of the `blob.kept` that names it. */
  kept?: number
  refused?: Trouble
}

export interface PhotoRow {
  blob: string
  size: number
  type: string
  waiting?: 1
  kept?: number
  /** When this phone heard that it is kept, by its own clock. */
  keptAt?: string
  /** 1 when the bytes were let go of; the thumbnail stays. */
  freed?: 1
  refused?: Trouble
}

export interface BundleText {
  row: BundleRow
  /** Canonical JSON as published; null until pulled. */
  text: string | null
}

export interface Shape extends DBSchema {
  entries: {
    key: string
    value: EntryRow
    indexes: {
      job: string
      kind: string
      index: number
      waiting: number
      own: [number, number]
      slot: string
      refused: string
    }
  }
  views: { key: string; value: JobView; indexes: { openHere: number } }
  values: { key: string; value: ValueRow; indexes: { waiting: number } }
  photos: { key: string; value: PhotoRow; indexes: { waiting: number } }
  /** Photo bytes, only where there is no file system for them. */
  bytes: { key: string; value: ArrayBuffer }
  /** Small JPEGs of photos: drawn when they are shot, or when their bytes are freed. */
  thumbs: { key: string; value: ArrayBuffer }
  bundles: { key: string; value: BundleText }
  assets: { key: string; value: { type: string; bytes: ArrayBuffer } }
  /** Single things by name: device, cursor, checkpoint, settings. */
  things: { key: string; value: unknown }
}

export type Names = StoreNames<Shape>[]
export type Reading = IDBPTransaction<Shape, Names, 'readonly'>
export type Changing = IDBPTransaction<Shape, Names, 'readwrite'>

const VERSION = 2

/** Forward only, a step a version: every form ever released is brought to the newest. */
function build(db: IDBPDatabase<Shape>, from: number): void {
  if (from < 1) buildFirst(db)
  if (from < 2) db.createObjectStore('thumbs')
}

function buildFirst(db: IDBPDatabase<Shape>): void {
  const entries = db.createObjectStore('entries', { keyPath: 'id' })
  entries.createIndex('job', 'job')
  entries.createIndex('kind', 'kind')
  entries.createIndex('index', 'index')
  entries.createIndex('waiting', 'waiting')
  entries.createIndex('own', ['mine', 'index'])
  entries.createIndex('slot', 'slot', { unique: true })
  entries.createIndex('refused', 'refused.code')
  db.createObjectStore('views', { keyPath: 'job' }).createIndex('openHere', 'openHere')
  db.createObjectStore('values', { keyPath: 'blob' }).createIndex('waiting', 'waiting')
  db.createObjectStore('photos', { keyPath: 'blob' }).createIndex('waiting', 'waiting')
  db.createObjectStore('bytes')
  db.createObjectStore('bundles')
  db.createObjectStore('assets')
  db.createObjectStore('things')
}

/** A dead handle shows as one of these when a transaction is begun, or aborts it. */
const isDeadHandle = (error: unknown) =>
  error instanceof DOMException && (error.name === 'InvalidStateError' || error.name === 'UnknownError')

/** What happens to the storage without our doing, for the screen and for those who must not trust it any more. */
export interface Watch {
  /** A write failed: what was written before may be gone at the next start. */
  failed(error: DOMException): void
  /** The browser has closed the database, or thrown it away. */
  lost(): void
  /** A newer build in another window asked for the storage, and has it now. */
  letGo(): void
  /** The other window is gone, and the storage is open. */
  unblocked(): void
}

const MISTRUSTED = ['QuotaExceededError', 'UnknownError', 'DataError', 'InvalidStateError']

export class Database {
  #handle: Promise<IDBPDatabase<Shape>> | null = null
  /** How often by now a change of entries or views has begun or ended here. */
  logsTouched = 0

  constructor(
    private readonly name: string,
    private readonly watch: Watch,
  ) {}

  /** Read in one transaction; its view of the data does not move. */
  read<T>(stores: Names, act: (tx: Reading) => Promise<T>): Promise<T> {
    return this.#again(async (db) => settled(db.transaction(stores, 'readonly'), act))
  }

  /** Change in one strict transaction: all of it is on disk when this resolves, or none of it is kept. */
  async change<T>(stores: Names, act: (tx: Changing) => Promise<T>): Promise<T> {
    try {
      return await this.#again(async (db) => {
        const touch = () => {
          if (stores.includes('entries') || stores.includes('views')) this.logsTouched += 1
        }
        touch()
        return settled(db.transaction(stores, 'readwrite', { durability: 'strict' }), act).finally(touch)
      })
    } catch (error) {
      if (error instanceof DOMException && MISTRUSTED.includes(error.name)) this.watch.failed(error)
      throw error
    }
  }

  async close(): Promise<void> {
    const handle = this.#handle
    this.#handle = null
    ;(await handle)?.close()
  }

  /** Once more with a new handle when the old one had died; whatever comes then is the caller's. */
  async #again<T>(act: (db: IDBPDatabase<Shape>) => Promise<T>): Promise<T> {
    try {
      return await act(await this.#open())
    } catch (error) {
      if (!isDeadHandle(error)) throw error
      await this.close().catch(() => undefined) // a dead handle may not even close
      return act(await this.#open())
    }
  }

  #open(): Promise<IDBPDatabase<Shape>> {
    this.#handle ??= this.#opening().catch((error: unknown) => {
      if (!(error instanceof UpgradeBlocked)) this.#handle = null
      throw error
    })
    return this.#handle
  }

  /** While another window blocks it this rejects at once; the opening itself goes on and is taken up when it is done. */
  #opening(): Promise<IDBPDatabase<Shape>> {
    return new Promise((resolve, reject) => {
      let isBlocked = false
      const opened = openDB<Shape>(this.name, VERSION, {
        upgrade: build,
        blocked: () => {
          isBlocked = true
          reject(new UpgradeBlocked())
        },
        blocking: () => {
          void this.close() // a newer build in another window must not wait for us
          this.watch.letGo()
        },
        terminated: () => {
          this.#handle = null
          this.watch.lost()
        },
      })
      opened.then(resolve, reject)
      void opened.then(
        () => {
          if (!isBlocked) return
          this.#handle = opened
          this.watch.unblocked()
        },
        () => undefined, // told by the rejection above
      )
    })
  }
}

/**
 * Resolve at `complete`, reject at `abort`; never on a request alone, whose promise may not even
 * settle when the whole transaction is aborted. What aborted the whole says more than what the
 * request then heard.
 */
async function settled<Tx extends { done: Promise<void>; abort(): void }, T>(
  tx: Tx,
  act: (tx: Tx) => Promise<T>,
): Promise<T> {
  try {
    const [value] = await Promise.all([act(tx), tx.done])
    return value
  } catch (error) {
    try {
      tx.abort()
    } catch {
      // It has been aborted already: that is why we are here.
    }
    const whole = await tx.done.then(
      () => null,
      (reason: unknown) => reason,
    )
    throw whole instanceof DOMException && whole.name !== 'AbortError' ? whole : error
  }
}
