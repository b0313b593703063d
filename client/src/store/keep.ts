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
import { lastSeq, orderOf, putSeq, rankOf } from './sequence'
import { emptyView, viewKey, withEntry, type JobView } from './view'

export interface Photo {
  row: PhotoRow
  bytes: ArrayBuffer
  /** A small JPEG of it; null where none was drawn. */
  thumb: ArrayBuffer | null
}

/** What one act consists of. */
export interface Act {
  /** The last `seq` of the device before this act. */
  seqBefore: number
  entries: Entry[]
  values: ValueRow[]
  photos: Photo[]
}

const KEPT_IN: Names = ['entries', 'views', 'values', 'photos', 'thumbs', 'bytes', 'things']

/**
 * Kept or not: never half. Rejects with what the browser said; then nothing of the act is kept. Resolves with the photos
 * that were not here before; null where the handle died before it could say.
 */
export async function keep(db: Database, disk: Disk | null, act: Act): Promise<PhotoRow[] | null> {
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
    return await commit(db, act, false)
  } catch (error) {
    await disk.takeBack().catch((cause: unknown) => {
      throw new KeptMidway(String(error), { cause })
    })
    throw error
  }
}

async function commit(db: Database, act: Act, withBytes: boolean): Promise<PhotoRow[] | null> {
  let added: PhotoRow[] | null = null
  try {
    added = await db.change(KEPT_IN, (tx) => keepIn(tx, act, withBytes))
  } catch (error) {
    // The handle may have died between commit and answer: what lies there decides.
    const wasKept = await isKept(db, act, withBytes).catch(() => false)
    if (!wasKept) throw error
  }
  if (!(await isKept(db, act, withBytes))) throw new ReadBackDiffers()
  return added
}

/**
 * All that must be known is asked for together, then all is written together: each answer waits for its turn on the
 * screen's thread. An act is one device's, in one job.
 */
async function keepIn(tx: Changing, act: Act, withBytes: boolean): Promise<PhotoRow[]> {
  const [first] = act.entries
  const [seq, own, ...known] = await Promise.all([
    first ? lastSeq(tx, first.device) : act.seqBefore,
    first && grownBy(tx, act.entries, first),
    ...act.photos.map(({ row }) => tx.objectStore('photos').getKey(row.blob)),
  ])
  if (seq !== act.seqBefore) throw new PlaceTaken()
  const writes = [
    () => first && putSeq(tx, first.device, act.seqBefore + act.entries.length),
    ...act.photos.map((photo, i) => () => addPhoto(tx, photo, known[i] !== undefined, withBytes)),
    ...act.values.map((row) => () => tx.objectStore('values').add(row)),
    ...(own?.rows ?? []).map((row) => () => tx.objectStore('entries').add(row)),
    () => own && tx.objectStore('views').put(own.view),
  ]
  // Each by itself: where the whole is aborted in between, one that throws at once must not leave the others unheard.
  await Promise.all(writes.map(async (write) => write()))
  return act.photos.flatMap(({ row }, i) => (known[i] === undefined ? [row] : []))
}

/** The rows of an act's entries, and the view of its job with all of them. */
async function grownBy(
  tx: Changing,
  entries: readonly Entry[],
  { device, job }: Entry,
): Promise<{ rows: EntryRow[]; view: JobView }> {
  const [rank, kept] = await Promise.all([rankOf(tx, device), tx.objectStore('views').get(viewKey(job))])
  const before = kept ?? emptyView(viewKey(job))
  // Whatever is a head is here; of what became none since it was signed one must ask.
  const held = new Set([...before.heads, ...entries.map(({ id }) => id)])
  const others = [...new Set(entries.flatMap(({ after }) => after))].filter((id) => !held.has(id))
  for (const id of await Promise.all(others.map((each) => tx.objectStore('entries').getKey(each))))
    if (id !== undefined) held.add(id)
  return {
    rows: entries.map((entry) => rowOf(entry, rank)),
    view: entries.reduce((view, entry) => withEntry(view, entry, true, held), before),
  }
}

async function addPhoto(
  tx: Changing,
  { row, bytes, thumb }: Photo,
  isKnown: boolean,
  withBytes: boolean,
): Promise<void> {
  // The same picture twice is one blob; what the workshop has said of it stands.
  if (!isKnown) await tx.objectStore('photos').add(row)
  if (thumb) await tx.objectStore('thumbs').put(thumb, row.blob)
  if (withBytes) await tx.objectStore('bytes').put(bytes, row.blob)
}

/** What is written here, in the order of writing, also when the phone has become another device since. */
export const ownRow = async (tx: Changing, entry: Entry): Promise<EntryRow> =>
  rowOf(entry, await rankOf(tx, entry.device))

const rowOf = (entry: Entry, rank: number): EntryRow => ({
  id: entry.id,
  line: entry.line,
  job: viewKey(entry.job),
  kind: entry.kind,
  mine: 1,
  standing: 'good',
  waiting: orderOf(rank, entry.seq),
  slot: `${entry.device} ${entry.seq}`,
})

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
  const [rows, values, photos, pictures] = await db.read(KEPT_IN, (tx) =>
    Promise.all([
      Promise.all(act.entries.map(({ id }) => tx.objectStore('entries').get(id))),
      Promise.all(act.values.map(({ blob }) => tx.objectStore('values').get(blob))),
      Promise.all(act.photos.map(({ row }) => tx.objectStore('photos').getKey(row.blob))),
      Promise.all(withBytes ? act.photos.map(({ row }) => tx.objectStore('bytes').get(row.blob)) : []),
    ]),
  )
  const hashes = await Promise.all(pictures.map((bytes) => (bytes ? blobId(new Uint8Array(bytes)) : null)))
  return (
    act.entries.every(({ line }, i) => rows[i]?.line === line) &&
    act.values.every(({ text }, i) => values[i]?.text === text) &&
    act.photos.every(({ row }, i) => photos[i] === row.blob && (!withBytes || hashes[i] === row.blob))
  )
}
