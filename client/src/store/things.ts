/** Single things by name, and their forms. */
import { EDITION } from '../ledger/bodies'
import type { Changing, Database, Reading } from './database'
import type { Backups } from './places'
import type { Entry } from '../ledger/entry'
import type { Without } from './numbers'
import type { Device, Intent, Sealed, Trouble } from './types'

/** What the phone has seen of the workshop's ledger. */
export interface Seen {
  /** Next index to ask for. */
  cursor: number
  /** Newest checkpoint that was signed by the pinned key, as text; null before the first. */
  checkpoint: string | null
  size: number
  /** Base64, as in the checkpoint. */
  root: string
  /** The edition that this app could read when it was given all that lies before the cursor; absent: the first. */
  reads?: number
  /** A newer app asks for the ledger once more, for what it was not given before: from this index on. */
  again?: number | null
  /** The newest head that was shown to contain all that came before it. */
  proven?: { size: number; root: string }
}

export const nothingSeen: Seen = { cursor: 0, checkpoint: null, size: 0, root: '', reads: EDITION }

export interface Followed {
  records: { index: number; record: string }[]
  isStale?: true
}

/** A key that was made and has signed its enrolment, and nobody has answered yet. */
export interface Joining {
  invitation: string
  device: Device
  entry: Entry
}

interface Things {
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

export async function thing<K extends keyof Things>(
  tx: Reading | Changing,
  name: K,
): Promise<Things[K] | null> {
  return ((await tx.objectStore('things').get(name)) as Things[K] | undefined) ?? null
}

export async function putThing<K extends keyof Things>(
  tx: Changing,
  name: K,
  value: Things[K] | null,
): Promise<void> {
  const things = tx.objectStore('things')
  await (value === null ? things.delete(name) : things.put(value, name))
}

export const readThing = <K extends keyof Things>(db: Database, name: K): Promise<Things[K] | null> =>
  db.read(['things'], (tx) => thing(tx, name))

export const keepThing = <K extends keyof Things>(
  db: Database,
  name: K,
  value: Things[K] | null,
): Promise<void> => db.change(['things'], (tx) => putThing(tx, name, value))

/** Where a device stands among those that this phone has been: all of a former one's was written before. */
export async function rankOf(tx: Changing, device: string): Promise<number> {
  const kept = await thing(tx, 'devices')
  const been = kept ?? [(await thing(tx, 'device'))?.id ?? device] // an older build kept no list
  const all = been.includes(device) ? been : [...been, device]
  if (all !== kept) await putThing(tx, 'devices', all)
  return all.indexOf(device)
}

const seqName = (device: string) => `seq ${device}`

/** The last `seq` this device has used; 0 before the first. */
export async function lastSeq(tx: Reading | Changing, device: string): Promise<number> {
  return ((await tx.objectStore('things').get(seqName(device))) as number | undefined) ?? 0
}

export async function putSeq(tx: Changing, device: string, seq: number): Promise<void> {
  await tx.objectStore('things').put(seq, seqName(device))
}
