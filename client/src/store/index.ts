/** The store's door: screens import from here and nowhere deeper. */
import { browserCanary } from './canary'
import { browserKeyring, noKeyring } from './keyring'
import { painted } from './painted'
import { browserDisk } from './remote'
import { PhoneStore, type Options } from './store'
import { drawThumbnail } from './thumbnail'

export type { Role } from '../ledger/bodies'
export { asTrouble, NotKept, secondTab } from './errors'
export { painted } from './painted'
export { troubleAt, troubleOf, type ReadAt } from './trouble'
export { LedgerForked, type Page, type Pulled, type Receipt } from './ledger-copy'
export type { KeptBlob } from './outgoing'
export type { Seen } from './seen'
export { noBackups, type Backups } from './places'
export type { BundleText, EntryRow, PhotoRow, ValueRow } from './database'
export type {
  BundleRow,
  Counts,
  Device,
  EnrolmentReceipt,
  Held,
  Intent,
  Joining,
  JobRow,
  JobView,
  Place,
  ProvenRecord,
  Sealed,
  Standing,
  Store,
  Trouble,
  Ahead,
  Writing,
} from './types'
export { filesOf, refsOf } from './view'
export { PhoneStore }

/** Open what this browser profile keeps, and compare its two copies. */
export async function openStore(options: Partial<Options> = {}): Promise<PhoneStore> {
  const store = storeOf(options)
  await store.open()
  return store
}

const photoWorker = () => new Worker(new URL('./photo.worker.ts', import.meta.url), { type: 'module' })

/** What this browser profile keeps, to be opened. */
export function storeOf(options: Partial<Options> = {}): PhoneStore {
  const name = options.name ?? 'two-turns'
  const isBrowser = typeof document !== 'undefined'
  return new PhoneStore({
    name,
    locks: options.locks ?? navigator.locks,
    now: () => new Date(),
    random: (bytes) => crypto.getRandomValues(new Uint8Array(bytes)),
    disk: isBrowser ? browserDisk(name) : null,
    canary: isBrowser ? browserCanary : null,
    keyring: isBrowser ? browserKeyring(name) : noKeyring,
    thumbnail: drawThumbnail,
    photoWorker: typeof Worker === 'undefined' ? null : photoWorker,
    painted: isBrowser ? painted : null,
    persistence: isBrowser ? navigator.storage : null,
    ...options,
  })
}
