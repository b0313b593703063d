/** What waits to be sent, read beside the app: by its service worker, when no page is open. Nothing is changed. */
import { Database } from './database'
import { single } from './singles'

export interface Waiting {
  lines: string[]
  /** Private values. */
  values: string[]
}

/** In the order of sending; without what the workshop has refused. Nothing of a phone that sends nothing any more. */
export async function readWaiting(name: string): Promise<Waiting> {
  const ignore = () => undefined // whoever writes keeps watch over the storage
  const db = new Database(name, { failed: ignore, lost: ignore, letGo: ignore, unblocked: ignore })
  try {
    return await db.read(['entries', 'values', 'things'], async (tx) => {
      const sealed = await single(tx, 'sealed')
      if (sealed !== null && sealed !== 'revoked') return { lines: [], values: [] }
      const [entries, values] = await Promise.all([
        tx.objectStore('entries').index('waiting').getAll(),
        tx.objectStore('values').index('waiting').getAll(),
      ])
      return {
        lines: entries.filter(({ refused }) => !refused).map(({ line }) => line),
        values: values.filter(({ refused }) => !refused).map(({ text }) => text),
      }
    })
  } finally {
    await db.close()
  }
}
