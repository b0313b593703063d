/**
 * The two places compared: what one lacks is put back from the other. An entry is taken from the
 * journal only when its bytes hash to its id and, where the key is known, its signature holds.
 */
import { parseEntry, verifyEntry, type Entry } from '../ledger/entry'
import { LedgerError } from '../ledger/errors'
import { blobId } from '../ledger/private'
import { readAct, type Written } from './acts'
import type { PhotoName, Device } from './types'
import type { Changing, Database, EntryRow, Names, PhotoRow, Reading, ValueRow } from './database'
import { addEntry, ownRow } from './keep'
import { backedUp, noBackups, type Backups } from './places'
import { joined, less, type Without } from './numbers'
import { raiseSeq } from './sequence'
import { putSingle, single } from './singles'
import { viewKey } from './view'

const OWN: Names = ['entries', 'views', 'values', 'photos', 'things']

export interface Compared {
  /** Entries that were put back into the database; 0 when it was only an act cut off between the two places. */
  putBack: number
  /** The jobs in which they are, also of an act that was cut off. */
  putBackIn: string[]
  /** What the journal lacks, in the order it was written; nothing that a backup covers. */
  notInJournal: Written
  /** Everything the journal must hold, should it be written anew. */
  whole: Written
  /** Which share of the journal's entries need not be in it any more. */
  spare: number
  /** The places of all entries that were written here, as the database has them now. */
  slots: string[]
  /** The journal still has something of what was let go of, or calls unread what somebody has read. */
  isStale: boolean
  /** Who wrote it, as the journal says. */
  device: Written['device']
}

interface Own {
  rows: EntryRow[]
  values: ValueRow[]
  photos: PhotoRow[]
  backups: Backups
  device: Device | null
  devices: string[]
  without: Without
  unread: Without
  dropped: string[]
}

/** `claimed` is the last number that a screen may have called kept; what is cut off lies behind it. */
export async function compare(
  db: Database,
  texts: string[],
  claimed: number,
  now: string,
): Promise<Compared> {
  const acts = texts.map(readAct)
  const devices = acts.flatMap(({ device }) => device ?? [])
  const before = await own(db)
  const keys = new Map(
    [...devices, ...(before.device ? [before.device] : [])].map(({ id, key }) => [id, key]),
  )
  const putBack = await heal(db, acts, before, keys, claimed)
  const after = putBack.others ? await own(db) : before
  const inJournal = new Set(acts.flatMap(({ entries }) => entries))
  const lacking = lackedBy(acts, needed(after, now, inJournal))
  const whole = needed(after, now, new Set())
  const spare = 1 - whole.entries.length / Math.max(1, inJournal.size)
  return {
    putBack: putBack.entries,
    putBackIn: putBack.jobs,
    whole,
    spare,
    notInJournal: lacking,
    slots: after.rows.map(({ slot = '' }) => slot),
    isStale: putBack.isStale,
    device: devices.at(-1),
  }
}

/** Own rows are those with a slot; a private value that waits or is kept was written here. */
function own(db: Database): Promise<Own> {
  return db.read(OWN, async (tx) => {
    const [rows, values, photos, backups, device, devices, without, unread, dropped] = await Promise.all([
      rowsWithSlot(tx),
      tx.objectStore('values').getAll(),
      tx.objectStore('photos').getAll(),
      single(tx, 'backups'),
      single(tx, 'device'),
      single(tx, 'devices'),
      single(tx, 'without'),
      single(tx, 'unread'),
      single(tx, 'dropped'),
    ])
    const written = values.filter(({ waiting, kept }) => waiting !== undefined || kept !== undefined)
    return {
      rows,
      values: written,
      photos,
      backups: backups ?? noBackups,
      device,
      devices: devices ?? [],
      without: without ?? {},
      unread: unread ?? {},
      dropped: dropped ?? [],
    }
  })
}

/** At a start the screen reads, too: it gets its turn between two pages. */
const PAGE = 500

async function rowsWithSlot(tx: Reading): Promise<EntryRow[]> {
  const slots = tx.objectStore('entries').index('slot')
  const rows: EntryRow[] = []
  for (;;) {
    const last = rows.at(-1)?.slot
    const page = await slots.getAll(last === undefined ? null : IDBKeyRange.lowerBound(last, true), PAGE)
    rows.push(...page)
    if (page.length < PAGE) return rows
  }
}

async function heal(
  db: Database,
  acts: Written[],
  { rows, values, photos, without: told, unread: stands, dropped }: Own,
  keys: ReadonlyMap<string, string>,
  claimed: number,
): Promise<{ entries: number; jobs: string[]; others: number; isStale: boolean }> {
  const gone = new Set(dropped)
  const lines = new Set(rows.map(({ line }) => line))
  const texts = new Set(values.map(({ text }) => text))
  const blobs = new Set(photos.map(({ blob }) => blob))
  const missing: Entry[] = []
  for (const line of acts.flatMap(({ entries }) => entries)) {
    const entry = lines.has(line) ? null : await proven(line, keys)
    if (entry) missing.push(entry)
  }
  const secrets = new Map<string, string>()
  for (const text of acts.flatMap((act) => act.values)) {
    if (!texts.has(text)) secrets.set(await blobId(new TextEncoder().encode(text)), text)
  }
  const pictures = new Map(acts.flatMap((act) => act.photos).map((photo) => [photo.blob, photo]))
  const unknown = [...pictures.values()].filter(({ blob }) => !blobs.has(blob) && !gone.has(blob))
  const isGone = [...secrets.keys(), ...pictures.keys()].some((blob) => gone.has(blob))
  for (const blob of gone) secrets.delete(blob)
  const without = joined(told, ...acts.map((act) => act.without ?? {}))
  // A loss of which the database knows nothing: what was told of it went with the rest, and nobody had read it.
  const inJournal = joined(...acts.map((act) => act.unread ?? {}))
  const unread = joined(stands, less(inJournal, told))
  const isTold = JSON.stringify([without, unread]) === JSON.stringify([joined(told), joined(stands)])
  const isStale = isGone || Object.keys(less(inJournal, unread)).length > 0
  if (missing.length + secrets.size + unknown.length === 0 && isTold)
    return { entries: 0, jobs: [], others: 0, isStale }
  const back = await db.change(OWN, async (tx) => {
    if (!isTold) await Promise.all([putSingle(tx, 'without', without), putSingle(tx, 'unread', unread)])
    return putBack(tx, missing, secrets, unknown)
  })
  const lastAct = new Set(acts.at(-1)?.entries)
  const isCutOff = back.every(({ line, seq }) => lastAct.has(line) && seq > claimed)
  return {
    entries: isCutOff ? 0 : back.length,
    jobs: back.map(({ job }) => viewKey(job)),
    others: back.length + secrets.size + unknown.length + Number(!isTold),
    isStale,
  }
}

async function proven(line: string, keys: ReadonlyMap<string, string>): Promise<Entry | null> {
  try {
    const entry = await parseEntry(line)
    const key = keys.get(entry.device)
    return key === undefined || (await verifyEntry(entry, key)) ? entry : null
  } catch (error) {
    if (error instanceof LedgerError) return null
    throw error
  }
}

async function putBack(
  tx: Changing,
  entries: Entry[],
  values: Map<string, string>,
  photos: PhotoName[],
): Promise<Entry[]> {
  const back: Entry[] = []
  for (const entry of entries) {
    const kept = await tx.objectStore('entries').get(entry.id)
    if (kept?.line === entry.line) continue // the workshop had it, and it was pulled before
    const { slot, ...row } = await ownRow(tx, entry)
    const taken = slot ? await tx.objectStore('entries').index('slot').getKey(slot) : undefined
    // Two entries under one number are both evidence: the workshop will call them forked.
    const free = taken === undefined && slot !== undefined ? { ...row, slot } : row
    if (kept) await tx.objectStore('entries').put({ ...kept, line: entry.line })
    else await addEntry(tx, free, entry)
    await raiseSeq(tx, entry.device, entry.seq)
    back.push(entry)
  }
  for (const [blob, text] of values) await tx.objectStore('values').put({ blob, text, waiting: 1 })
  for (const photo of photos) await tx.objectStore('photos').put({ ...photo, waiting: 1 })
  return back
}

/** What is backed up in the workshop needs no second copy here; where there is none, its number tells that it is no loss. */
function needed(
  { rows, values, photos, backups, device, devices, without, unread }: Own,
  now: string,
  inJournal: ReadonlySet<string>,
): Written {
  const upTo = backedUp(backups, now)
  const isNeeded = (place: number | undefined) => place === undefined || place >= upTo
  const rank = (row: EntryRow) => devices.indexOf(deviceOf(row))
  const asWritten = [...rows].sort((one, other) => rank(one) - rank(other) || seqOf(one) - seqOf(other))
  const leftOut = asWritten.filter(({ index, line }) => !isNeeded(index) && !inJournal.has(line))
  const byDevice = leftOut.map((row): Without => ({ [deviceOf(row)]: [[seqOf(row), seqOf(row)]] }))
  return {
    without: joined(without, ...byDevice),
    unread,
    ...(device ? { device: withoutSecret(device) } : {}),
    entries: asWritten.filter(({ index }) => isNeeded(index)).map(({ line }) => line),
    values: values.filter(({ kept }) => isNeeded(kept)).map(({ text }) => text),
    photos: photos
      .filter(({ waiting }) => waiting === 1)
      .map(({ blob, size, type }) => ({ blob, size, type })),
  }
}

const seqOf = ({ slot = '' }: EntryRow) => Number(slot.split(' ')[1])
const deviceOf = ({ slot = '' }: EntryRow) => slot.split(' ')[0] ?? ''

export function withoutSecret({ secret: _, ...words }: Device): Omit<Device, 'secret'> {
  return words
}

function lackedBy(acts: Written[], all: Written): Written {
  const entries = new Set(acts.flatMap((act) => act.entries))
  const values = new Set(acts.flatMap((act) => act.values))
  const photos = new Set(acts.flatMap((act) => act.photos).map(({ blob }) => blob))
  const isKnown = acts.some(({ device }) => device?.id === all.device?.id)
  return {
    ...(all.device && !isKnown ? { device: all.device } : {}),
    without: less(all.without ?? {}, joined(...acts.map((act) => act.without ?? {}))),
    unread: less(all.unread ?? {}, joined(...acts.map((act) => act.unread ?? {}))),
    entries: all.entries.filter((line) => !entries.has(line)),
    values: all.values.filter((text) => !values.has(text)),
    photos: all.photos.filter(({ blob }) => !photos.has(blob)),
  }
}
