/** What the screens read: logs, lists, values and pictures, each in one transaction. */
import { readPrivate } from '../ledger/private'
import type { Ref } from '../ledger/bodies'
import type { Entry } from '../ledger/entry'
import { readBundle, type Bundle } from '../procedure/bundle'
import type { Database, EntryRow, Names, PhotoRow } from './database'
import { keptEntry } from './entries'
import type { Pictures } from './pictures'
import { backedUp, noBackups, placeOf } from './places'
import { single } from './singles'
import type { BundleRow, Counts, Held, JobRow, Place } from './types'
import { filesOf, viewKey, type JobView } from './view'

/** A photo's entry is only as far as the photo itself: until its bytes are there, saying otherwise would lose it. */
function reached(
  row: EntryRow,
  entry: Entry,
  photos: ReadonlyMap<string, PhotoRow | undefined>,
): number | undefined {
  let index = row.index
  for (const blob of filesOf(entry)) {
    const file = photos.get(blob)
    if (!file || index === undefined) continue // not of this phone: it came from the workshop
    index = file.kept === undefined ? undefined : Math.max(index, file.kept)
  }
  return index
}

const heldFrom = (row: EntryRow, entry: Entry, index: number | undefined, backedUpTo: number): Held => ({
  entry,
  place: placeOf(index, backedUpTo),
  index: row.index ?? null,
  standing: row.standing,
  mine: row.mine === 1,
  ...(row.refused ? { refused: row.refused } : {}),
})

/** Received entries by their place in the ledger, then what waits in its order of sending. */
const byOrder = (one: EntryRow, other: EntryRow) =>
  (one.index ?? Infinity) - (other.index ?? Infinity) || (one.waiting ?? 0) - (other.waiting ?? 0)

/** Whose entries are held in memory: the job at hand and the workshop's statements, and some that were looked at. */
const LOGS_READ = 4

/** Entries that are looked at for who wrote them: somebody may write very many. */
const MOST_UNREAD = 50

export class Reader {
  readonly #bundles = new Map<string, Bundle>()
  /** The entries of the logs that were read last, by their ids. */
  readonly #lastRead = new Map<string, Map<string, Entry>>()

  constructor(
    private readonly db: Database,
    private readonly pictures: Pictures,
    private readonly now: () => Date,
  ) {}

  async log(job: string | null): Promise<Held[]> {
    return this.db.read(['entries', 'photos', 'things'], async (tx) => {
      const [rows, backups] = await Promise.all([
        tx.objectStore('entries').index('job').getAll(viewKey(job)),
        single(tx, 'backups'),
      ])
      const upTo = backedUp(backups ?? noBackups, this.now().toISOString())
      const read = rows.sort(byOrder).map((row) => ({ row, entry: this.#entryOf(row) }))
      if (this.#lastRead.size === LOGS_READ) this.#lastRead.clear()
      this.#lastRead.set(viewKey(job), new Map(read.map(({ entry }) => [entry.id, entry])))
      // Only those that the log names: a phone may hold many hundreds.
      const named = [...new Set(read.flatMap(({ entry }) => filesOf(entry)))]
      const photos = new Map(
        await Promise.all(
          named.map(async (blob) => [blob, await tx.objectStore('photos').get(blob)] as const),
        ),
      )
      return read.map(({ row, entry }) => heldFrom(row, entry, reached(row, entry, photos), upTo))
    })
  }

  async statements(kinds: readonly string[]): Promise<Held[]> {
    return this.db.read(['entries', 'things'], async (tx) => {
      const kind = tx.objectStore('entries').index('kind')
      const [backups, ...found] = await Promise.all([
        single(tx, 'backups'),
        ...kinds.map((one) => kind.getAll(one)),
      ])
      const upTo = backedUp(backups ?? noBackups, this.now().toISOString())
      const rows = found.flat().sort(byOrder)
      return rows.map((row) => heldFrom(row, this.#entryOf(row), row.index, upTo))
    })
  }

  /** A line says the same for ever: one that was read a moment ago is not read again. */
  #entryOf({ job, id, line }: EntryRow): Entry {
    const known = this.#lastRead.get(job)?.get(id)
    return known?.line === line ? known : keptEntry(line, id)
  }

  /** Who wrote what only a newer app can read: persons, of the first so many entries. */
  async unreadBy(): Promise<string[]> {
    const rows = await this.db.read(['entries'], (tx) =>
      tx.objectStore('entries').index('kind').getAll('unread', MOST_UNREAD),
    )
    return [...new Set(rows.map(({ line, id }) => keptEntry(line, id).person))]
  }

  /** One job, and nothing of the others. */
  async job(job: string): Promise<JobRow | null> {
    const view = await this.db.read(['views'], (tx) => tx.objectStore('views').get(viewKey(job)))
    return view ? (jobRow(view)[0] ?? null) : null
  }

  async jobs(): Promise<JobRow[]> {
    return (await this.views()).flatMap(jobRow).sort((one, other) => (one.lastAt < other.lastAt ? 1 : -1))
  }

  views(): Promise<JobView[]> {
    return this.db.read(['views'], (tx) => tx.objectStore('views').getAll())
  }

  /** Whether an order to erase hides it from whoever has this phone. */
  isHidden(blob: string): Promise<boolean> {
    return this.db.read(['things'], async (tx) => {
      const [hidden, device] = await Promise.all([single(tx, 'hidden'), single(tx, 'device')])
      return device?.role !== 'owner' && (hidden?.includes(blob) ?? false)
    })
  }

  async secretValue(ref: Ref): Promise<string | null> {
    if (await this.isHidden(ref.blob)) return null
    const row = await this.db.read(['values'], (tx) => tx.objectStore('values').get(ref.blob))
    return row ? readPrivate(new TextEncoder().encode(row.text)).value : null
  }

  async photo(sha: string): Promise<Blob | null> {
    if (await this.isHidden(sha)) return null
    const row = await this.db.read(['photos'], (tx) => tx.objectStore('photos').get(sha))
    const bytes = row && !row.freed ? await this.pictures.bytes(sha) : null
    return row && bytes ? new Blob([bytes], { type: row.type }) : null
  }

  async photoPlace(sha: string): Promise<Place | null> {
    const [row, backups] = await this.db.read(['photos', 'things'], async (tx) =>
      Promise.all([tx.objectStore('photos').get(sha), single(tx, 'backups')]),
    )
    return row ? placeOf(row.kept, backedUp(backups ?? noBackups, this.now().toISOString())) : null
  }

  /** Read once: under one hash it is always the same, and every screen of its jobs needs it. */
  async bundle(sha: string): Promise<Bundle | null> {
    const known = this.#bundles.get(sha)
    if (known) return known
    const kept = await this.db.read(['bundles'], (tx) => tx.objectStore('bundles').get(sha))
    const bundle = kept?.text ? readBundle(kept.text) : null
    if (bundle) this.#bundles.set(sha, bundle)
    return bundle
  }

  async bundles(): Promise<BundleRow[]> {
    const kept = await this.db.read(['bundles'], (tx) => tx.objectStore('bundles').getAll())
    return kept
      .map(({ row }) => row)
      .sort((one, other) => one.name.localeCompare(other.name) || other.edition - one.edition)
  }

  async asset(sha: string): Promise<Blob | null> {
    const kept = await this.db.read(['assets'], (tx) => tx.objectStore('assets').get(sha))
    return kept ? new Blob([kept.bytes], { type: kept.type }) : null
  }

  async counts(): Promise<Counts> {
    const stores: Names = ['entries', 'photos', 'views', 'things']
    return this.db.read(stores, async (tx) => {
      const entries = tx.objectStore('entries')
      const upTo = backedUp((await single(tx, 'backups')) ?? noBackups, this.now().toISOString())
      const own = entries.index('own')
      const [received, backup, phone, refused, unread, openHere, photos] = await Promise.all([
        own.count(IDBKeyRange.bound([1, 0], [1, Infinity])),
        // A range without room between its ends is refused, not empty.
        upTo > 0 ? own.count(IDBKeyRange.bound([1, 0], [1, upTo], false, true)) : 0,
        entries.index('waiting').count(),
        entries.index('refused').count(),
        entries.index('kind').count('unread'),
        tx.objectStore('views').index('openHere').count(),
        tx.objectStore('photos').index('waiting').getAll(),
      ])
      return {
        phone,
        workshop: received - backup,
        backup,
        refused,
        unread,
        openHere,
        photosWaiting: photos.length,
        bytesWaiting: photos.reduce((sum, { size }) => sum + size, 0),
      }
    })
  }
}

/** A job whose opening has not come yet is not listed: there is nothing to call it by. */
function jobRow(view: JobView): JobRow[] {
  if (!view.opened) return []
  const { body, at, person } = view.opened
  return [
    {
      job: view.job,
      bundle: body.bundle,
      engineCode: body.engine_code,
      bay: body.bay,
      odometerKm: body.odometer_km,
      odometerUnit: body.odometer_unit ?? null,
      vin: body.vin,
      plate: body.plate,
      customer: body.customer ?? null,
      phone: body.phone ?? null,
      openedAt: at,
      openedBy: person,
      end: view.end,
      approved: view.approved,
      lastAt: view.lastAt,
      lastDevice: view.lastDevice,
      lastPerson: view.lastPerson,
      entries: view.entries,
      mine: view.mine,
    },
  ]
}
