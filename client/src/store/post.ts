/**
 * What sync asks of the store: what waits to be sent, and what to do with the workshop's word.
 * Whatever comes in here has been checked by sync: signatures, hashes, the checkpoint's size.
 */
import { wireBody, type Entry } from '../ledger/entry'
import type { BundleText, Changing, Database, EntryRow, Names, PhotoRow, ValueRow } from './database'
import { keptEntry } from './entries'
import { dropHalves, putPart, readHalf, type Half, type HalfPart } from './halves'
import { addEntry, ownRow } from './keep'
import { dropErased, dropReceived, heldOf, LET_GO } from './let-go'
import { erasedUnsent, notInForce, refusedAndGone } from './notices'
import { noBackups, type Backups } from './places'
import type { Keeper } from './keeper'
import {
  keepThing,
  lastSeq,
  nothingSeen,
  putSeq,
  putThing,
  readThing,
  thing,
  type Followed,
  type Joining,
  type Seen,
} from './things'
import type { Device, EnrolmentReceipt, Sealed, Standing, Trouble, PhotoName } from './types'
import { filesSaid, refsOf, viewKey, withRead } from './view'

/** A record as pulled: its entry, its place, and how the workshop's ledger stands to it. */
export interface Pulled {
  entry: Entry
  index: number
  standing: Standing
}

/** A blob that the workshop has signed for: `index` is that of its `blob.kept`. */
export interface KeptBlob {
  blob: string
  index: number
}

/** A page of the log, with all that follows from it. */
export interface Page {
  pulled: Pulled[]
  /** Standings that changed on entries of earlier pages. */
  standings: Record<string, Standing>
  kept: KeptBlob[]
  backups: Backups
  seen: Seen
}

/** The answer to a batch. */
export interface Receipt {
  indices: Record<string, number>
  kept: KeptBlob[]
  refused: { id: string; trouble: Trouble }[]
  /** How those stand that the workshop holds back. */
  held?: Record<string, Standing>
  /** How many the workshop keeps, and is too old to act on. */
  unread?: number
  seen: Seen
}

/** Two different entries at one place of the ledger, or one entry at two: somebody rewrote it. */
export class LedgerForked extends Error {}

/** Rows go back where they came from; the compiler cannot follow that through a list of stores. */
type Put = (row: EntryRow | ValueRow | PhotoRow) => Promise<string>

const LEDGER: Names = ['entries', 'views', 'values', 'photos', 'things']

export class Post {
  constructor(
    private readonly db: Database,
    private readonly keeper: Keeper,
    private readonly now: () => Date,
    private readonly stirred: () => Promise<void>,
    /** Do it in turn with what is written here: nothing is added to what is being let go of. */
    private readonly alone: (act: () => Promise<void>) => Promise<void>,
  ) {}

  async seen(): Promise<Seen> {
    return (await readThing(this.db, 'seen')) ?? nothingSeen
  }

  /** Where to go on with what a newer app was not given before; null when it has all. */
  async again(edition: number): Promise<number | null> {
    const seen = await this.seen()
    if ((seen.reads ?? 1) >= edition) return seen.again ?? null
    await keepThing(this.db, 'seen', { ...seen, reads: edition, again: 0 })
    return 0
  }

  async backups(): Promise<Backups> {
    return (await readThing(this.db, 'backups')) ?? noBackups
  }

  /** What waits, in the order of sending; what was refused comes along only when asked for. */
  async waitingEntries(withRefused: boolean): Promise<EntryRow[]> {
    const rows = await this.db.read(['entries'], (tx) => tx.objectStore('entries').index('waiting').getAll())
    return rows.filter((row) => withRefused || !row.refused)
  }

  async waitingValues(withRefused: boolean): Promise<ValueRow[]> {
    const rows = await this.db.read(['values'], (tx) => tx.objectStore('values').index('waiting').getAll())
    return rows.filter((row) => withRefused || !row.refused)
  }

  async waitingPhotos(withRefused: boolean): Promise<PhotoRow[]> {
    const rows = await this.db.read(['photos'], (tx) => tx.objectStore('photos').index('waiting').getAll())
    return rows.filter((row) => withRefused || !row.refused)
  }

  photoBytes(blob: string): Promise<ArrayBuffer | null> {
    return this.keeper.pictures.bytes(blob)
  }

  async receive(receipt: Receipt): Promise<void> {
    await this.db.change(LEDGER, async (tx) => {
      for (const [id, index] of Object.entries(receipt.indices)) await place(tx, id, index)
      for (const [id, standing] of Object.entries(receipt.held ?? {})) await stand(tx, id, standing)
      for (const { id, trouble } of receipt.refused) {
        for (const name of ['entries', 'values'] as const) await refuse(tx, name, id, trouble)
      }
      await markKept(tx, receipt.kept, this.now())
      await putThing(tx, 'seen', receipt.seen)
    })
    if (receipt.unread) await this.keeper.announce(notInForce(receipt.unread))
    await this.stirred()
  }

  async refusePhoto(blob: string, trouble: Trouble): Promise<void> {
    await this.db.change(['photos'], (tx) => refuse(tx, 'photos', blob, trouble))
    await this.stirred()
  }

  async take(page: Page): Promise<void> {
    const photos = await this.#photosOfOurs(page.pulled)
    await this.db.change(LEDGER, async (tx) => {
      for (const photo of photos) await tx.objectStore('photos').put({ ...photo, waiting: 1 })
      for (const pulled of page.pulled) await takeOne(tx, pulled)
      for (const [id, standing] of Object.entries(page.standings)) await stand(tx, id, standing)
      await markKept(tx, page.kept, this.now())
      await putThing(tx, 'backups', page.backups)
      await putThing(tx, 'seen', page.seen)
    })
    if (page.pulled.length || page.kept.length) await this.stirred()
  }

  /** Own entries come from there when they had been lost here: their photos may still lie here, and nothing else knows of them. */
  async #photosOfOurs(pulled: Pulled[]): Promise<PhotoName[]> {
    const device = await readThing(this.db, 'device')
    const named = pulled
      .filter(({ entry }) => entry.device === device?.id)
      .flatMap(({ entry }) => filesSaid(entry))
    if (!named.length) return []
    const known = new Set(await this.db.read(['photos'], (tx) => tx.objectStore('photos').getAllKeys()))
    const unknown = named.filter(({ blob }) => !known.has(blob))
    const here = unknown.length ? await this.keeper.pictures.here() : new Set()
    return unknown.filter(({ blob }) => here.has(blob)).map(({ blob, size, type }) => ({ blob, size, type }))
  }

  /**
   * The workshop has lost records: whatever this phone holds waits again, other devices' entries
   * too, in the order of the ledger that was lost. Nothing counts as kept or backed up any more.
   */
  async offerAgain(): Promise<void> {
    const photosHere = await this.keeper.pictures.here()
    await this.db.change(LEDGER, async (tx) => {
      for (const row of await tx.objectStore('entries').getAll()) {
        const { index, refused: _, ...rest } = row
        await tx.objectStore('entries').put(index === undefined ? rest : { ...rest, waiting: index })
      }
      for (const { kept: _, refused: __, ...row } of await tx.objectStore('values').getAll()) {
        await tx.objectStore('values').put({ ...row, waiting: 1 })
      }
      for (const { kept: _, refused: __, ...row } of await tx.objectStore('photos').getAll()) {
        if (photosHere.has(row.blob)) await tx.objectStore('photos').put({ ...row, waiting: 1 })
      }
      await putThing(tx, 'backups', null)
      const followed = await thing(tx, 'followed')
      if (followed) await putThing(tx, 'followed', { ...followed, isStale: true })
      const lost = await thing(tx, 'seen')
      await putThing(tx, 'lost', [...((await thing(tx, 'lost')) ?? []), ...(lost ? [lost] : [])])
      await putThing(tx, 'seen', null)
    })
    await this.stirred()
  }

  followed(): Promise<Followed | null> {
    return readThing(this.db, 'followed')
  }

  /**
   * The workshop's key is another one now. What was kept on the word of keys that a recovery undid,
   * from `size` up to `index`, waits again; a photo whose bytes were let go of is beyond that.
   */
  async follow(
    records: Followed['records'],
    undone: { index: number; size: number }[],
    backups: Backups,
  ): Promise<void> {
    const isUndone = (kept?: number) =>
      kept !== undefined && undone.some(({ index, size }) => size <= kept && kept < index)
    const photosHere = undone.length ? await this.keeper.pictures.here() : new Set()
    await this.db.change(LEDGER, async (tx) => {
      for (const name of ['values', 'photos'] as const) {
        for (const row of undone.length ? await tx.objectStore(name).getAll() : []) {
          if (!isUndone(row.kept) || (name === 'photos' && !photosHere.has(row.blob))) continue
          const { kept: _, refused: __, ...rest } = row
          await (tx.objectStore(name).put as Put)({ ...rest, waiting: 1 })
        }
      }
      if (undone.length) await putThing(tx, 'backups', backups)
      await putThing(tx, 'followed', { records })
    })
    await this.stirred()
  }

  /** Say something that stands until it is dismissed. */
  announce(trouble: Trouble): Promise<void> {
    return this.keeper.announce(trouble)
  }

  /** The workshop's disk has these no more, or not as they were: what of them is here waits to be sent again. */
  async sendAgain(blobs: readonly string[]): Promise<void> {
    if (!blobs.length) return
    const photosHere = await this.keeper.pictures.here()
    const isNew = await this.db.change(['photos', 'values'], async (tx) => {
      const wanted = new Set(blobs)
      const photos = (await tx.objectStore('photos').getAll()).filter(
        ({ blob, waiting }) => wanted.has(blob) && waiting === undefined && photosHere.has(blob),
      )
      const values = (await tx.objectStore('values').getAll()).filter(
        ({ blob, waiting }) => wanted.has(blob) && waiting === undefined,
      )
      for (const { kept: _, refused: __, ...row } of photos)
        await tx.objectStore('photos').put({ ...row, waiting: 1 })
      for (const { kept: _, refused: __, ...row } of values)
        await tx.objectStore('values').put({ ...row, waiting: 1 })
      return photos.length + values.length > 0
    })
    if (isNew) await this.stirred()
  }

  /** What the workshop erased goes from here, too; what had not been sent is told. */
  async forget(erased: readonly string[]): Promise<void> {
    const photosHere = await this.keeper.pictures.here()
    const held = [
      ...new Set([...(await heldOf(this.db, erased)), ...erased.filter((blob) => photosHere.has(blob))]),
    ]
    if (!held.length) return
    await this.alone(async () => {
      const unsent = await dropErased(this.db, held)
      if (unsent) await this.keeper.announce(erasedUnsent(unsent))
      await this.keeper.letGo(held.filter((blob) => photosHere.has(blob)))
    })
  }

  /** Of these nobody but owners is shown anything, as long as the order stands. */
  async hide(ordered: readonly string[]): Promise<void> {
    const hidden = (await heldOf(this.db, [...new Set(ordered)])).sort()
    const before = (await readThing(this.db, 'hidden')) ?? []
    if (hidden.join() === before.join()) return
    await keepThing(this.db, 'hidden', hidden.length ? hidden : null)
    await this.stirred()
  }

  /**
   * The phone is withdrawn, shut out or signed out: nothing of it is shown any more, and of its private values only those stay
   * that the workshop does not have. Asked again it lets go of what was sent since.
   */
  async seal(how: Sealed): Promise<void> {
    await this.alone(async () => {
      const { gone, refused } = await this.db.change(LET_GO, async (tx) => {
        const device = await thing(tx, 'device')
        if (how === 'signed-out' && device) await putThing(tx, 'device', { ...device, secret: null })
        await putThing(tx, 'sealed', how)
        return dropReceived(tx)
      })
      if (how === 'signed-out') await this.keeper.dropKey()
      if (refused) await this.keeper.announce(refusedAndGone(refused))
      if (gone) await this.keeper.letGo([])
    })
  }

  /** A private value of somebody else's, fetched: nothing of it waits to be sent. */
  async keepValue(blob: string, text: string): Promise<void> {
    await this.db.change(['values'], (tx) => tx.objectStore('values').put({ blob, text }))
    await this.stirred()
  }

  /** Private values that held entries name, of these kinds or jobs, and that are not here. */
  async missingValues(kinds: readonly string[], jobs: readonly string[]): Promise<string[]> {
    return this.db.read(['entries', 'values', 'things'], async (tx) => {
      const entries = tx.objectStore('entries')
      const rows = await Promise.all([
        ...kinds.map((kind) => entries.index('kind').getAll(kind)),
        ...jobs.map((job) => entries.index('job').getAll(job)),
      ])
      const named = new Set(
        rows.flat().flatMap(({ line, id }) => refsOf(wireBody(keptEntry(line, id))).map(({ blob }) => blob)),
      )
      const known = new Set([
        ...(await tx.objectStore('values').getAllKeys()),
        ...((await thing(tx, 'dropped')) ?? []),
      ])
      return [...named].filter((blob) => !known.has(blob))
    })
  }

  /** Jobs that are not closed: what a mechanic may be asked to go on with. */
  async openJobs(): Promise<string[]> {
    const views = await this.db.read(['views'], (tx) => tx.objectStore('views').getAll())
    return views.filter((view) => view.job && view.end === null).map((view) => view.job)
  }

  /** Jobs of which an entry names another that is not here. */
  async jobsWithGaps(): Promise<string[]> {
    const views = await this.db.read(['views'], (tx) => tx.objectStore('views').getAll())
    return views.filter((view) => view.job && view.missing.length > 0).map((view) => view.job)
  }

  /** The workshop's statements of these kinds, in ledger order, or in that of the ledger that was lost; our own come last. */
  async statements(kinds: readonly string[]): Promise<{ entry: Entry; index: number | null }[]> {
    const found = await this.db.read(['entries'], (tx) =>
      Promise.all(kinds.map((kind) => tx.objectStore('entries').index('kind').getAll(kind))),
    )
    return found
      .flat()
      .sort((one, other) => placeIn(one) - placeIn(other))
      .map(({ line, id, index }) => ({ entry: keptEntry(line, id), index: index ?? null }))
  }

  async keptBundles(): Promise<BundleText[]> {
    return this.db.read(['bundles'], (tx) => tx.objectStore('bundles').getAll())
  }

  async bundlesTag(): Promise<string | null> {
    return (await readThing(this.db, 'bundles'))?.etag ?? null
  }

  async keepBundle(bundle: BundleText): Promise<void> {
    await this.db.change(['bundles', 'things'], async (tx) => {
      await tx.objectStore('bundles').put(bundle, bundle.row.bundle)
      if (bundle.text !== null) await dropHalves(tx, bundle.row.bundle)
    })
    await this.stirred()
  }

  /** All that the list names is here: of what it named before, a half may still lie about. */
  async keepBundlesTag(etag: string | null): Promise<void> {
    await this.db.change(['things'], async (tx) => {
      await putThing(tx, 'bundles', etag === null ? null : { etag })
      await dropHalves(tx)
    })
  }

  async hasAsset(blob: string): Promise<boolean> {
    return (await this.db.read(['assets'], (tx) => tx.objectStore('assets').getKey(blob))) !== undefined
  }

  async keepAsset(blob: string, type: string, bytes: ArrayBuffer): Promise<void> {
    await this.db.change(['assets', 'things'], async (tx) => {
      await tx.objectStore('assets').put({ type, bytes }, blob)
      await dropHalves(tx, blob)
    })
  }

  /** What has come of a download that is under way. */
  half(blob: string): Promise<Half | null> {
    return readHalf(this.db, blob)
  }

  async keepPart(blob: string, part: HalfPart): Promise<void> {
    await this.db.change(['things'], (tx) => putPart(tx, blob, part))
  }

  async dropHalf(blob: string): Promise<void> {
    await this.db.change(['things'], (tx) => dropHalves(tx, blob))
  }

  async keepProven(proven: { size: number; root: string }): Promise<void> {
    await this.db.change(['things'], async (tx) => {
      const seen = (await thing(tx, 'seen')) ?? nothingSeen
      await putThing(tx, 'seen', { ...seen, proven })
    })
  }

  /** The device is known before the workshop is asked: a lost answer must not lose the key. */
  joining(): Promise<Joining | null> {
    return readThing(this.db, 'joining')
  }

  keepJoining(joining: Joining): Promise<void> {
    return keepThing(this.db, 'joining', joining)
  }

  /** This phone is in: who it is, its first entry and its `seq`, and the ledger that has them, at once. */
  async joined({ device, entry }: Joining, index: number, seen: Seen): Promise<void> {
    await this.keeper.keepKey(device)
    await this.keeper.journal(device, entry)
    await this.db.change(LEDGER, async (tx) => {
      const kept = await tx.objectStore('entries').getKey(entry.id)
      const row: EntryRow = { ...(await ownRow(tx, entry)), index }
      delete row.waiting
      if (kept === undefined) await addEntry(tx, row, entry)
      await putSeq(tx, device.id, Math.max(entry.seq, await lastSeq(tx, device.id)))
      await putThing(tx, 'device', device)
      await putThing(tx, 'sealed', null)
      await putThing(tx, 'dropped', null) // of what it was sealed for, it may ask again
      await putThing(tx, 'joining', null)
      await putThing(tx, 'seen', seen)
    })
    await this.keeper.joined()
    await this.stirred()
  }

  /** What the ledger says of this phone's workshop and person, as far as it has been pulled. */
  async keepDevice(device: Device): Promise<void> {
    await keepThing(this.db, 'device', device)
    await this.stirred()
  }

  /** The same, in each place where this phone's key is kept: without it a workshop that was put back may not know this phone. */
  async keepEnrolmentReceipt(of: string, receipt: EnrolmentReceipt): Promise<void> {
    await this.alone(async () => {
      const device = await readThing(this.db, 'device')
      if (device?.id !== of || !device.secret) return // enrolled anew or signed out meanwhile
      await this.keeper.keepKey({ ...device, receipt })
      await keepThing(this.db, 'device', { ...device, receipt })
    })
  }

  alarm(): Promise<Trouble | null> {
    return readThing(this.db, 'alarm')
  }

  keepAlarm(alarm: Trouble | null): Promise<void> {
    return keepThing(this.db, 'alarm', alarm)
  }
}

/** What is offered again waits at its old place. */
const placeIn = ({ index, waiting }: EntryRow) => index ?? waiting ?? Number.MAX_SAFE_INTEGER

async function takeOne(tx: Changing, { entry, index, standing }: Pulled): Promise<void> {
  const entries = tx.objectStore('entries')
  const there = await entries.index('index').getKey(index)
  if (there !== undefined && there !== entry.id) {
    throw new LedgerForked(`place ${index} held ${there.slice(0, 12)}, now ${entry.id.slice(0, 12)}`)
  }
  if ((await entries.getKey(entry.id)) === undefined) {
    const job = viewKey(entry.job)
    const row: EntryRow = { id: entry.id, line: entry.line, job, kind: entry.kind, mine: 0, index, standing }
    await addEntry(tx, row, entry)
    // An entry of our own that comes from there had been lost here: its number is not given twice.
    const isOurs = (await thing(tx, 'device'))?.id === entry.device
    if (isOurs) await putSeq(tx, entry.device, Math.max(entry.seq, await lastSeq(tx, entry.device)))
  } else {
    await place(tx, entry.id, index)
    await stand(tx, entry.id, standing)
    await read(tx, entry)
  }
}

/** What lay here unread says something to a newer app. */
async function read(tx: Changing, entry: Entry): Promise<void> {
  const row = await tx.objectStore('entries').get(entry.id)
  if (!row || row.kind === entry.kind) return
  await tx.objectStore('entries').put({ ...row, kind: entry.kind })
  const view = await tx.objectStore('views').get(row.job)
  if (view) await tx.objectStore('views').put(withRead(view, entry))
}

async function place(tx: Changing, id: string, index: number): Promise<void> {
  const row = await tx.objectStore('entries').get(id)
  if (!row || row.index === index) return
  if (row.index !== undefined)
    throw new LedgerForked(`${id.slice(0, 12)} had place ${row.index}, now ${index}`)
  const { waiting: _, refused: __, ...rest } = row
  await tx.objectStore('entries').put({ ...rest, index })
}

async function stand(tx: Changing, id: string, standing: Standing): Promise<void> {
  const row = await tx.objectStore('entries').get(id)
  if (row && row.standing !== standing) await tx.objectStore('entries').put({ ...row, standing })
}

/** What was refused stays, and says why. */
async function refuse(
  tx: Changing,
  name: 'entries' | 'values' | 'photos',
  key: string,
  refused: Trouble,
): Promise<void> {
  const rows = tx.objectStore(name)
  const row = await rows.get(key)
  if (row?.waiting !== undefined) await (rows.put as Put)({ ...row, refused })
}

/** Only what waits is looked at: a `blob.kept` names many blobs that other phones sent. */
async function markKept(tx: Changing, kept: KeptBlob[], now: Date): Promise<void> {
  for (const name of ['values', 'photos'] as const) {
    const blobs = tx.objectStore(name)
    const waiting = new Set(await blobs.index('waiting').getAllKeys())
    for (const { blob, index } of kept.filter((one) => waiting.has(one.blob))) {
      const row = await blobs.get(blob)
      if (!row) continue
      const { waiting: _, refused: __, ...rest } = row
      const said = { ...rest, kept: index }
      await (blobs.put as Put)(name === 'photos' ? { ...said, keptAt: now.toISOString() } : said)
    }
  }
}
