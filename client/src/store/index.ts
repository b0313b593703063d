/** The store's door: screens import from here and nowhere deeper. */
import { PhoneStore, type Options } from './store'

export type { Role } from '../ledger/bodies'
export { asTrouble, NotKept, secondTab } from './errors'
export type { Joining, Seen } from './things'
export type { KeptBlob, Page, Post, Pulled, Receipt } from './post'
export { LedgerForked } from './post'
export type { Backups } from './places'
export type { BundleText, EntryRow, PhotoRow, ValueRow } from './database'
export type {
  BundleRow,
  Counts,
  Device,
  Held,
  Intent,
  JobRow,
  Place,
  Standing,
  Store,
  Trouble,
  Writing,
} from './types'
export { PhoneStore }

/** Open what this browser profile keeps. */
export async function openStore(options: Partial<Options> = {}): Promise<PhoneStore> {
  const store = new PhoneStore({
    name: 'two-turns',
    locks: options.locks ?? navigator.locks,
    now: () => new Date(),
    random: (bytes) => crypto.getRandomValues(new Uint8Array(bytes)),
    ...options,
  })
  await store.open()
  return store
}

/** Ask the browser not to throw our storage away when the phone is short of room. */
export async function askToPersist(): Promise<boolean> {
  return (await navigator.storage?.persist?.()) ?? false
}
