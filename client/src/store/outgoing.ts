/** What waits to be sent, in the order of sending, and what the workshop's word does to it. */
import type { Changing, Database, EntryRow, PhotoRow, Shape, ValueRow } from './database'
import type { Trouble } from './types'

type Sent = 'entries' | 'values' | 'photos'

/** Rows go back where they came from; the compiler cannot follow that through a list of stores. */
export type Put = (row: EntryRow | ValueRow | PhotoRow) => Promise<string>

/** A blob that the workshop has signed for: `index` is that of its `blob.kept`. */
export interface KeptBlob {
  blob: string
  index: number
}

/** What was refused comes along only when asked for. */
export async function waitingIn<Name extends Sent>(
  db: Database,
  name: Name,
  withRefused: boolean,
): Promise<Shape[Name]['value'][]> {
  const rows: Shape[Name]['value'][] = await db.read([name], (tx) =>
    tx.objectStore(name).index('waiting').getAll(),
  )
  return rows.filter((row) => withRefused || !row.refused)
}

/** What was refused stays, and says why. */
export async function refuse(tx: Changing, name: Sent, key: string, refused: Trouble): Promise<void> {
  const rows = tx.objectStore(name)
  const row = await rows.get(key)
  if (row?.waiting !== undefined) await (rows.put as Put)({ ...row, refused })
}

/** Only what waits is looked at: a `blob.kept` names many blobs that other phones sent. */
export async function markKept(tx: Changing, kept: KeptBlob[], now: Date): Promise<void> {
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
