/** What an act goes on from: the last one, where nothing else was done since, or what the database says. */
import type { Entry } from '../ledger/entry'
import type { Database } from './database'
import { lastSeq } from './sequence'
import { emptyView, viewKey, withEntry, type JobView } from './view'

export interface Before {
  /** The device's last number. */
  seq: number
  view: JobView
  /** How often logs were touched by then. */
  touched: number
}

/** A change touches them as it begins and as it ends. */
const ONE_CHANGE = 2

/** A job's view with what was just signed upon it: all that the entries name is here. */
const grown = (view: JobView, entries: readonly Entry[]): JobView =>
  entries.reduce((before, entry) => withEntry(before, entry, true, new Set(entry.after)), view)

export class LastAct {
  #left: (Before & { device: string }) | null = null

  constructor(private readonly db: Database) {}

  /** What the next act of a device in a job goes on from. */
  async before(job: string | null, device: string): Promise<Before> {
    const [left, touched] = [this.#left, this.db.logsTouched]
    if (left?.device === device && left.touched === touched && left.view.job === viewKey(job)) return left
    return this.db.read(['views', 'things'], async (tx) => {
      const [view, seq] = await Promise.all([tx.objectStore('views').get(viewKey(job)), lastSeq(tx, device)])
      return { seq, view: view ?? emptyView(viewKey(job)), touched }
    })
  }

  /**
   * An act was kept. If anything else has touched a log meanwhile, a receipt or what came from elsewhere, the next act asks.
   *
   * @returns by how many more jobs are open here, which is 1, 0 or -1
   */
  kept(before: Before, entries: readonly Entry[], device: string): number {
    const [view, touched] = [grown(before.view, entries), this.db.logsTouched]
    if (touched === before.touched + ONE_CHANGE)
      this.#left = { seq: before.seq + entries.length, view, touched, device }
    return (view.openHere ?? 0) - (before.view.openHere ?? 0)
  }
}
