/**
 * Keeping what was signed: photo bytes as files, the act in the journal, then one strict transaction
 * in IndexedDB, read back and compared. Only after that may a screen say *on this phone*.
 *
 * The journal comes before the transaction: a full disk shows there by a short count, and IndexedDB,
 * which forgets what it had when it meets one, is not asked. A crash between the two leaves an act
 * that nobody was told of; it is put into IndexedDB at the next start.
 */
import type { Entry } from '../ledger/entry'
import { blobId } from '../ledger/private'
import { actText } from './acts'
import type { Changing, Database, EntryRow, Names, PhotoRow, ValueRow } from './database'
import type { Disk } from './disk'
import { KeptMidway, PlaceTaken, ReadBackDiffers } from './errors'
import { lastSeq, orderOf, putSeq } from './sequence'
import { emptyView, viewKey, withEntry } from './view'

export interface Photo {
  row: PhotoRow
  bytes: ArrayBuffer
}

/** What one act consists of. */
export interface Act {
  /** The last `seq` of the device before this act. */
  seqBefore: number
  entries: Entry[]
  values: ValueRow[]
  photos: Photo[]
}

const KEPT_IN: Names = ['entries', 'views', 'values', 'photos', 'bytes', 'things']

/** Kept or not: never half. Rejects with what the browser said; then nothing of the act is kept. */
export async function keep(db: Database, disk: Disk | null, act: Act): Promise<void> {
  if (!disk) return commit(db, act, true)
  for (const { row, bytes } of act.photos) await disk.putPhoto(row.blob, bytes)
  await disk.append(
    actText({
      entries: act.entries.map(({ line }) => line),
      values: act.values.map(({ text }) => text),
      photos: act.photos.map(({ row }) => row),
    }),
  )
  try {
    await commit(db, act, false)
  } catch (error) {
    await disk.takeBack().catch((cause: unknown) => {
      throw new KeptMidway(String(error), { cause })
    })
    throw error
  }
}

async function commit(db: Database, act: Act, withBytes: boolean): Promise<void> {
  try {
    await db.change(KEPT_IN, (tx) => keepIn(tx, act, withBytes))
  } catch (error) {
    // The handle may have died between commit and answer: what lies there decides.
    const wasKept = await isKept(db, act, withBytes).catch(() => false)
    if (!wasKept) throw error
  }
  if (!(await isKept(db, act, withBytes))) throw new ReadBackDiffers()
}

/** What does not hang on each other is asked for together: each answer waits for its turn on the screen's thread. */
async function keepIn(tx: Changing, act: Act, withBytes: boolean): Promise<void> {
  const [first] = act.entries
  if (first && (await lastSeq(tx, first.device)) !== act.seqBefore) throw new PlaceTaken()
  await Promise.all([
    first && putSeq(tx, first.device, act.seqBefore + act.entries.length),
    ...act.photos.map((photo) => addPhoto(tx, photo, withBytes)),
    ...act.values.map((row) => tx.objectStore('values').add(row)),
    addEntries(tx, act.entries),
  ])
}

async function addPhoto(tx: Changing, { row, bytes }: Photo, withBytes: boolean): Promise<void> {
  // The same picture twice is one blob; what the workshop has said of it stands.
  if ((await tx.objectStore('photos').getKey(row.blob)) === undefined) await tx.objectStore('photos').add(row)
  if (withBytes) await tx.objectStore('bytes').put(bytes, row.blob)
}

async function addEntries(tx: Changing, entries: readonly Entry[]): Promise<void> {
  for (const entry of entries) await addEntry(tx, await ownRow(tx, entry), entry)
}

/** What is written here, in the order of writing, also when the phone has become another device since. */
export async function ownRow(tx: Changing, entry: Entry): Promise<EntryRow> {
  return {
    id: entry.id,
    line: entry.line,
    job: viewKey(entry.job),
    kind: entry.kind,
    mine: 1,
    standing: 'good',
    waiting: await orderOf(tx, entry),
    slot: `${entry.device} ${entry.seq}`,
  }
}

/** Add one entry and grow its job's view. `add`, never `put`: an entry is not replaced. */
export async function addEntry(tx: Changing, row: EntryRow, entry: Entry): Promise<void> {
  const [entries, views] = [tx.objectStore('entries'), tx.objectStore('views')]
  const [view, ...parents] = await Promise.all([
    views.get(row.job),
    ...entry.after.map((id) => entries.getKey(id)),
  ])
  const held = new Set(parents.filter((id) => id !== undefined))
  await Promise.all([
    entries.add(row),
    views.put(withEntry(view ?? emptyView(row.job), entry, row.mine === 1, held)),
  ])
}

/** Read everything back in a new transaction; photo bytes are hashed anew, not compared with memory. */
async function isKept(db: Database, act: Act, withBytes: boolean): Promise<boolean> {
  const found = await db.read(KEPT_IN, async (tx) => ({
    lines: await Promise.all(
      act.entries.map(async ({ id }) => (await tx.objectStore('entries').get(id))?.line),
    ),
    texts: await Promise.all(
      act.values.map(async ({ blob }) => (await tx.objectStore('values').get(blob))?.text),
    ),
    bytes: withBytes
      ? await Promise.all(act.photos.map(({ row }) => tx.objectStore('bytes').get(row.blob)))
      : [],
    photos: await Promise.all(act.photos.map(({ row }) => tx.objectStore('photos').getKey(row.blob))),
  }))
  const hashes = await Promise.all(found.bytes.map((bytes) => (bytes ? blobId(new Uint8Array(bytes)) : null)))
  return (
    act.entries.every(({ line }, i) => found.lines[i] === line) &&
    act.values.every(({ text }, i) => found.texts[i] === text) &&
    act.photos.every(({ row }, i) => found.photos[i] === row.blob && (!withBytes || hashes[i] === row.blob))
  )
}
