import { wireBody } from '../ledger/entry'
import type { ValueRow } from './database'
import { keptEntry } from './entries'
import type { Inside } from './inside'
import { waitingIn } from './outgoing'
import { single } from './singles'
import { refsOf } from './view'

/** Private values: those that wait to be sent, and those that are fetched. */
export class PrivateValues {
  constructor(private readonly inside: Inside) {}

  waiting(withRefused: boolean): Promise<ValueRow[]> {
    return waitingIn(this.inside.db, 'values', withRefused)
  }

  /** A private value of somebody else's, fetched: nothing of it waits to be sent. It may come when the phone has let go of it, or of all. */
  async keep(blob: string, text: string): Promise<void> {
    await this.inside.db.change(['values', 'things'], async (tx) => {
      const [sealed, dropped] = await Promise.all([single(tx, 'sealed'), single(tx, 'dropped')])
      if (!sealed && !dropped?.includes(blob)) await tx.objectStore('values').put({ blob, text })
    })
    await this.inside.stirred()
  }

  /** Private values that held entries name, of these kinds or jobs, and that are not here. */
  async missing(kinds: readonly string[], jobs: readonly string[]): Promise<string[]> {
    return this.inside.db.read(['entries', 'values', 'things'], async (tx) => {
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
        ...((await single(tx, 'dropped')) ?? []),
      ])
      return [...named].filter((blob) => !known.has(blob))
    })
  }
}
