/**
 * What of the workshop's ledger is here, and how far it was seen. Whatever comes in has been checked by sync:
 * signatures, hashes, the checkpoint's size.
 */
import type { Entry } from '../ledger/entry'
import type { Changing, EntryRow, Names } from './database'
import { keptEntry } from './entries'
import type { Inside } from './inside'
import { addEntry } from './keep'
import { notInForce } from './notices'
import { markKept, refuse, waitingIn, type KeptBlob, type Put } from './outgoing'
import { noBackups, type Backups } from './places'
import { nothingSeen, type Followed, type Seen } from './seen'
import { raiseSeq } from './sequence'
import { keepSingle, putSingle, readSingle, single } from './singles'
import type { PhotoName, Standing, Trouble } from './types'
import { filesSaid, viewKey, withRead, type JobView } from './view'

/** A record as pulled: its entry, its place, and how the workshop's ledger stands to it. */
export interface Pulled {
  entry: Entry
  index: number
  standing: Standing
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

const LEDGER: Names = ['entries', 'views', 'values', 'photos', 'things']

/** The entries that are here, their places, and the place up to which the ledger was seen. */
export class LedgerCopy {
  constructor(private readonly inside: Inside) {}

  async seen(): Promise<Seen> {
    return (await readSingle(this.inside.db, 'seen')) ?? nothingSeen
  }

  /** Where to go on with what a newer app was not given before; null when it has all. */
  async again(edition: number): Promise<number | null> {
    const seen = await this.seen()
    if ((seen.reads ?? 1) >= edition) return seen.again ?? null
    await keepSingle(this.inside.db, 'seen', { ...seen, reads: edition, again: 0 })
    return 0
  }

  async backups(): Promise<Backups> {
    return (await readSingle(this.inside.db, 'backups')) ?? noBackups
  }

  /** What waits, in the order of sending; what was refused comes along only when asked for. */
  waiting(withRefused: boolean): Promise<EntryRow[]> {
    return waitingIn(this.inside.db, 'entries', withRefused)
  }

  async receive(receipt: Receipt): Promise<void> {
    await this.inside.db.change(LEDGER, async (tx) => {
      for (const [id, index] of Object.entries(receipt.indices)) await place(tx, id, index)
      for (const [id, standing] of Object.entries(receipt.held ?? {})) await stand(tx, id, standing)
      for (const { id, trouble } of receipt.refused) {
        for (const name of ['entries', 'values'] as const) await refuse(tx, name, id, trouble)
      }
      await markKept(tx, receipt.kept, this.inside.now())
      await putSingle(tx, 'seen', receipt.seen)
    })
    if (receipt.unread) await this.inside.announce(notInForce(receipt.unread))
    await this.inside.stirred()
  }

  async take(page: Page): Promise<void> {
    const photos = await this.#photosOfOurs(page.pulled)
    await this.inside.db.change(LEDGER, async (tx) => {
      for (const photo of photos) await tx.objectStore('photos').put({ ...photo, waiting: 1 })
      for (const pulled of page.pulled) await takeOne(tx, pulled)
      await sendAgain(tx, new Set(page.pulled.map(({ entry }) => viewKey(entry.job))))
      for (const [id, standing] of Object.entries(page.standings)) await stand(tx, id, standing)
      await markKept(tx, page.kept, this.inside.now())
      await putSingle(tx, 'backups', page.backups)
      await putSingle(tx, 'seen', page.seen)
    })
    if (page.pulled.length || page.kept.length) await this.inside.stirred()
  }

  /** Own entries come from there when they had been lost here: their photos may still lie here, and nothing else knows of them. */
  async #photosOfOurs(pulled: Pulled[]): Promise<PhotoName[]> {
    const device = await readSingle(this.inside.db, 'device')
    const named = pulled
      .filter(({ entry }) => entry.device === device?.id)
      .flatMap(({ entry }) => filesSaid(entry))
    if (!named.length) return []
    const known = new Set(
      await this.inside.db.read(['photos'], (tx) => tx.objectStore('photos').getAllKeys()),
    )
    const unknown = named.filter(({ blob }) => !known.has(blob))
    const here = unknown.length ? await this.inside.keeper.pictures.here() : new Set()
    return unknown.filter(({ blob }) => here.has(blob)).map(({ blob, size, type }) => ({ blob, size, type }))
  }

  /**
   * The workshop has lost records: whatever this phone holds waits again, other devices' entries
   * too, in the order of the ledger that was lost. Nothing counts as kept or backed up any more.
   */
  async offerAgain(): Promise<void> {
    const photosHere = await this.inside.keeper.pictures.here()
    await this.inside.db.change(LEDGER, async (tx) => {
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
      await putSingle(tx, 'backups', null)
      const followed = await single(tx, 'followed')
      if (followed) await putSingle(tx, 'followed', { ...followed, isStale: true })
      const lost = await single(tx, 'seen')
      await putSingle(tx, 'lost', [...((await single(tx, 'lost')) ?? []), ...(lost ? [lost] : [])])
      await putSingle(tx, 'seen', null)
    })
    await this.inside.stirred()
  }

  followed(): Promise<Followed | null> {
    return readSingle(this.inside.db, 'followed')
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
    const photosHere = undone.length ? await this.inside.keeper.pictures.here() : new Set()
    await this.inside.db.change(LEDGER, async (tx) => {
      for (const name of ['values', 'photos'] as const) {
        for (const row of undone.length ? await tx.objectStore(name).getAll() : []) {
          if (!isUndone(row.kept) || (name === 'photos' && !photosHere.has(row.blob))) continue
          const { kept: _, refused: __, ...rest } = row
          await (tx.objectStore(name).put as Put)({ ...rest, waiting: 1 })
        }
      }
      if (undone.length) await putSingle(tx, 'backups', backups)
      await putSingle(tx, 'followed', { records })
    })
    await this.inside.stirred()
  }

  async keepProven(proven: { size: number; root: string }): Promise<void> {
    await this.inside.db.change(['things'], async (tx) => {
      const seen = (await single(tx, 'seen')) ?? nothingSeen
      await putSingle(tx, 'seen', { ...seen, proven })
    })
  }

  /** The workshop's statements of these kinds, in ledger order, or in that of the ledger that was lost; our own come last. */
  async statements(kinds: readonly string[]): Promise<{ entry: Entry; index: number | null }[]> {
    const found = await this.inside.db.read(['entries'], (tx) =>
      Promise.all(kinds.map((kind) => tx.objectStore('entries').index('kind').getAll(kind))),
    )
    return found
      .flat()
      .sort((one, other) => placeIn(one) - placeIn(other))
      .map(({ line, id, index }) => ({ entry: keptEntry(line, id), index: index ?? null }))
  }

  /** Jobs that are not closed: what a mechanic may be asked to go on with. */
  async openJobs(): Promise<string[]> {
    const views = await this.inside.db.read(['views'], (tx) => tx.objectStore('views').getAll())
    return views.filter((view) => view.job && view.end === null).map((view) => view.job)
  }

  /** Jobs of which an entry names others that are not here, and these. */
  async gaps(): Promise<Pick<JobView, 'job' | 'missing'>[]> {
    const views = await this.inside.db.read(['views'], (tx) => tx.objectStore('views').getAll())
    return views.filter((view) => view.job && view.missing.length > 0)
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
    const isOurs = (await single(tx, 'device'))?.id === entry.device
    if (isOurs) await raiseSeq(tx, entry.device, entry.seq)
  } else {
    await place(tx, entry.id, index)
    await stand(tx, entry.id, standing)
    await read(tx, entry)
  }
}

/** What the workshop would not take because it did not know the job: it knows these jobs now. */
async function sendAgain(tx: Changing, jobs: ReadonlySet<string>): Promise<void> {
  const entries = tx.objectStore('entries')
  for (const { refused, ...row } of await entries.index('refused').getAll('not-found'))
    if (jobs.has(row.job)) await entries.put(row)
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
