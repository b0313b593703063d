/** Single things by name, each in a row of its own, and their forms: who this phone is, how far it has seen, what was said. */
import type { Changing, Database, Reading } from './database'
import type { Without } from './numbers'
import type { Backups } from './places'
import type { Followed, Seen } from './seen'
import type { Device, Intent, Joining, Sealed, Trouble } from './types'

interface Singles {
  device: Device
  /** Every device that this phone has been, the present one last. */
  devices: string[]
  intent: Intent
  seen: Seen
  backups: Backups
  joining: Joining
  /** Heads that the workshop's ledger no longer has: evidence against it. */
  lost: Seen[]
  /** ETag of the list of bundles. */
  bundles: { etag: string }
  /** The records that led to the workshop's key, as they were proven; stale: of a ledger that was put back since. */
  followed: Followed
  /** Numbers of entries that were lost and told, or that a journal left out for a backup has them. */
  without: Without
  /** Of these: lost, and what was told of it stands: nobody has read it. */
  unread: Without
  /** What the store has announced and nobody has read yet. */
  notices: Trouble[]
  /** There was a journal beside this database: an empty one is a loss from then on. */
  journaled: 1
  /** An alarm about the workshop's ledger that nobody has dealt with yet. */
  alarm: Trouble
  /** Blobs that this phone has let go of on purpose. */
  dropped: string[]
  /** Blobs that lie here and that an order to erase hides from all but owners. */
  hidden: string[]
  /** Nothing is shown any more of what lies here, and why. */
  sealed: Sealed
}

export async function single<K extends keyof Singles>(
  tx: Reading | Changing,
  name: K,
): Promise<Singles[K] | null> {
  return ((await tx.objectStore('things').get(name)) as Singles[K] | undefined) ?? null
}

export async function putSingle<K extends keyof Singles>(
  tx: Changing,
  name: K,
  value: Singles[K] | null,
): Promise<void> {
  const things = tx.objectStore('things')
  await (value === null ? things.delete(name) : things.put(value, name))
}

export const readSingle = <K extends keyof Singles>(db: Database, name: K): Promise<Singles[K] | null> =>
  db.read(['things'], (tx) => single(tx, name))

export const keepSingle = <K extends keyof Singles>(
  db: Database,
  name: K,
  value: Singles[K] | null,
): Promise<void> => db.change(['things'], (tx) => putSingle(tx, name, value))
