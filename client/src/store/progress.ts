/** How far this phone has come in writing: what the canary is told of it, and what it said at the last comparison. */
import type { Entry } from '../ledger/entry'
import type { Canary, Last } from './canary'
import type { Database } from './database'
import { lastSeq } from './sequence'
import { readSingle } from './singles'
import type { Device } from './types'

export class Progress {
  #last: Last | null = null
  #heard: Last | null = null

  constructor(
    private readonly db: Database,
    private readonly canary: Canary | null,
  ) {}

  /** What the canary said when both places were last compared. */
  get heard(): Last | null {
    return this.#heard
  }

  async hear(): Promise<void> {
    this.#heard = (await this.canary?.read().catch(() => null)) ?? null
  }

  /** From the last entry of this device that is here. */
  async takeUp(device: Device): Promise<void> {
    const row = await this.db.read(['entries', 'things'], async (tx) => {
      const seq = await lastSeq(tx, device.id)
      return tx.objectStore('entries').index('slot').get(`${device.id} ${seq}`)
    })
    if (!row) return
    const seq = Number(row.slot?.split(' ')[1])
    const { id, workshopName } = device
    this.#last = { device: id, seq, head: row.id, job: row.job || null, waiting: 0, workshopName }
  }

  async wrote(entries: readonly Entry[]): Promise<void> {
    const workshopName = this.#last?.workshopName ?? (await readSingle(this.db, 'device'))?.workshopName ?? ''
    const entry = entries.at(-1)
    if (!entry) return
    const { device, seq, id, job } = entry
    this.#last = { device, seq, head: id, job, waiting: 0, workshopName }
  }

  /**
   * Tell the canary. While the storage is doubted what was told of a loss may be lost itself: it is to be told
   * again then, so the word of a former device stays.
   */
  async tell(waiting: number, isDoubted: boolean): Promise<void> {
    const isStillNeeded = isDoubted && this.#heard !== null && this.#heard.device !== this.#last?.device
    if (this.#last && !isStillNeeded)
      await this.canary?.write({ ...this.#last, waiting }).catch(() => undefined)
  }
}
