/**
 * What this phone holds, as a file that the workshop's computer reads with `twoturns import`: the way
 * out when there is no line, no sign-in, or no trust in this browser any more (formats.md, section 9).
 */
import { openDB } from 'idb'
import { wireBody } from '../ledger/entry'
import { readAct } from './acts'
import type { Database, EntryRow, PhotoRow, ValueRow } from './database'
import type { Disk } from './disk'
import { keptEntry } from './entries'
import type { Pictures } from './pictures'
import { filesOf, refsOf, viewKey } from './view'
import { Zip } from './zip'

const FORM = 'two-turns export 1\n'

/** One job: its entries, the statements that let their devices in, its words and photos. */
export async function exportJob(db: Database, pictures: Pictures, job: string): Promise<Blob> {
  const { rows, enrolled } = await db.read(['entries'], async (tx) => ({
    rows: await tx.objectStore('entries').index('job').getAll(viewKey(job)),
    enrolled: await tx.objectStore('entries').index('kind').getAll('device.enrolled'),
  }))
  const entries = rows.map(({ line, id }) => keptEntry(line, id))
  const devices = new Set(entries.map(({ device }) => device))
  const statements = enrolled.filter(({ line, id }) => devices.has(keptEntry(line, id).device))
  const blobs = new Set(entries.flatMap((entry) => refsOf(wireBody(entry)).map(({ blob }) => blob)))
  const values = await db.read(['values'], (tx) =>
    Promise.all([...blobs].map((blob) => tx.objectStore('values').get(blob))),
  )
  const photos = entries.flatMap(filesOf)
  const bySeq = (one: EntryRow, other: EntryRow) =>
    (one.waiting ?? one.index ?? 0) - (other.waiting ?? other.index ?? 0)
  return packed({
    lines: [...statements, ...rows.sort(bySeq)].map(({ line }) => line),
    values: values.flatMap((row) => row?.text ?? []),
    photos: [...new Set(photos)],
    bytes: (blob) => pictures.bytes(blob),
  })
}

/**
 * Everything, from whatever can still be read: the journal, and the database in the form it has, even
 * one that a newer build has given it.
 */
export async function exportAll(name: string, disk: Disk | null): Promise<Blob> {
  const acts = disk ? ((await disk.readJournal().catch(() => null))?.acts.map(readAct) ?? []) : []
  const kept = await rawRows(name)
  const lines = new Set([...acts.flatMap(({ entries }) => entries), ...kept.entries.map(({ line }) => line)])
  const values = new Set([...acts.flatMap((act) => act.values), ...kept.values.map(({ text }) => text)])
  const photos = new Set([...acts.flatMap((act) => act.photos), ...kept.photos].map(({ blob }) => blob))
  const bytes = async (blob: string) => (await disk?.photo(blob).catch(() => null)) ?? kept.bytes(blob)
  return packed({ lines: [...lines], values: [...values], photos: [...photos], bytes })
}

interface Contents {
  lines: string[]
  values: string[]
  photos: string[]
  /** Null when the bytes are not here: freed, or never pulled. */
  bytes(blob: string): Promise<ArrayBuffer | null>
}

async function packed({ lines, values, photos, bytes }: Contents): Promise<Blob> {
  const zip = new Zip()
  const text = (name: string, content: string) => zip.add({ name, bytes: new TextEncoder().encode(content) })
  text('two-turns.txt', FORM)
  text('entries.txt', lines.map((line) => `${line}\n`).join(''))
  text('values.txt', values.map((value) => `${value}\n`).join(''))
  for (const blob of photos) {
    const content = await bytes(blob)
    if (content) zip.add({ name: `photos/${blob}`, bytes: new Uint8Array(content) })
  }
  return zip.done()
}

interface Raw {
  entries: EntryRow[]
  values: ValueRow[]
  photos: PhotoRow[]
  bytes(blob: string): Promise<ArrayBuffer | null>
}

const nothing: Raw = { entries: [], values: [], photos: [], bytes: async () => null }

/** Without a version a database opens as it is. What cannot be read is left out: the rest is wanted. */
async function rawRows(name: string): Promise<Raw> {
  try {
    const db = await openDB(name)
    const all = async <T>(store: string) =>
      db.objectStoreNames.contains(store) ? ((await db.getAll(store)) as T[]) : []
    return {
      entries: await all<EntryRow>('entries'),
      values: await all<ValueRow>('values'),
      photos: await all<PhotoRow>('photos'),
      bytes: async (blob) =>
        db.objectStoreNames.contains('bytes')
          ? (((await db.get('bytes', blob)) as ArrayBuffer | undefined) ?? null)
          : null,
    }
  } catch (error) {
    if (error instanceof DOMException) return nothing
    throw error
  }
}
