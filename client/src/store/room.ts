/** Room on a phone: the ballast, which is given up when there is no other, and photos, which wait until there is. */
import type { Announcements } from './announcements'
import type { Database } from './database'
import type { Disk } from './disk'
import { isFull, NotKept, photosWait } from './errors'
import type { Pictures } from './pictures'
import type { StorageState } from './storage-state'

/** A new log, the old one as a table, and some. The ballast alone is not enough for it: it goes on small acts. */
const LOG_BYTES = 12 * 2 ** 20
/**
 * More than LevelDB's log holds (4 MiB): it begins a new one, and the torn one is read no more.
 * A row stays below 64 KiB: Chromium puts larger values beside the log, into files.
 */
const CHURN_BYTES = 48 * 1024
const CHURN_ROWS = 10
const CHURN_TIMES = 10

export class Room {
  constructor(
    private readonly disk: Disk | null,
    private readonly pictures: Pictures,
    private readonly state: StorageState,
    private readonly announcements: Announcements,
  ) {}

  /** Make the ballast, and note whether there was room for it. */
  async prepare(): Promise<void> {
    await this.#note(await this.#makeBallast())
  }

  /** Photos of an older build become files, and what is long safe elsewhere goes. */
  async tidy(): Promise<void> {
    await this.pictures.moveToFiles().catch((error: unknown) => {
      if (!isFull(error)) throw error
    })
    await this.pictures.free(async () => this.state.isFull && !(await this.#makeBallast()))
    if (this.state.isFull) await this.prepare()
  }

  /** Space may have come back, or photos that are backed up can go. */
  async find(): Promise<boolean> {
    await this.prepare()
    if (this.state.isFull) await this.pictures.free(async () => !(await this.#makeBallast()))
    await this.prepare()
    return !this.state.isFull
  }

  /** Full until now: it may have come back. */
  async again(): Promise<void> {
    if (await this.#makeBallast()) await this.#note(true)
  }

  /** From now on steps and readings only. Without ballast there is nothing to give, and the failure stands. */
  async give(error: unknown, hasPhotos: boolean): Promise<void> {
    const had = await this.drop()
    if (had) await this.#note(false)
    if (hasPhotos && this.state.isFull) throw new NotKept(photosWait, error)
    if (!had) throw error
  }

  /** The ballast goes, without a word: there is room for mending now. */
  async drop(): Promise<boolean> {
    return (await this.disk?.dropBallast()) ?? false
  }

  async hasLogs(): Promise<boolean> {
    return (await this.disk?.hasRoom(LOG_BYTES)) ?? true
  }

  async #makeBallast(): Promise<boolean> {
    return (await this.disk?.makeBallast()) ?? true
  }

  async #note(isAmple: boolean): Promise<void> {
    this.state.filled(!isAmple)
    await this.announcements.sayIf(!isAmple, photosWait)
  }
}

/** Write so much that the database begins a new log, and leaves the one that a full disk has torn. */
export async function rollLogOver(db: Database): Promise<void> {
  const rows = Array.from({ length: CHURN_ROWS }, (_, i) => `churn ${i}`)
  for (let time = 0; time < CHURN_TIMES; time++) {
    await db.change(['things'], async (tx) => {
      const bytes = crypto.getRandomValues(new Uint8Array(CHURN_BYTES))
      for (const row of rows) await tx.objectStore('things').put(bytes.buffer, row)
    })
  }
  await db.change(['things'], async (tx) => {
    for (const row of rows) await tx.objectStore('things').delete(row)
  })
}
