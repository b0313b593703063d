/**
 * What this phone lets go of on purpose, and never puts back: what the workshop erased, and, once the phone is
 * withdrawn, shut out or signed out, the private values that the workshop has. Nothing of it that was not sent goes untold.
 */
import type { Changing, Database, Names } from './database'
import { putSingle, single } from './singles'

export const LET_GO: Names = ['values', 'photos', 'thumbs', 'bytes', 'things']

/** A refusal after which no workshop will ever take the value. */
const FINAL = ['blob-erased', 'bad-private-value']

/** Which of these blobs lie here, as rows. */
export function heldOf(db: Database, blobs: readonly string[]): Promise<string[]> {
  return db.read(['values', 'photos'], async (tx) => {
    const keys = await Promise.all([
      tx.objectStore('values').getAllKeys(),
      tx.objectStore('photos').getAllKeys(),
    ])
    const held = new Set(keys.flat())
    return blobs.filter((blob) => held.has(blob))
  })
}

/** Drop values and photos that were erased; returns how many of them had not been sent. */
export function dropErased(db: Database, blobs: readonly string[]): Promise<number> {
  return db.change(LET_GO, async (tx) => {
    let unsent = 0
    for (const blob of blobs) {
      const rows = await Promise.all([tx.objectStore('values').get(blob), tx.objectStore('photos').get(blob)])
      unsent += rows.filter((row) => row?.waiting === 1).length
      for (const name of ['values', 'photos', 'thumbs', 'bytes'] as const)
        await tx.objectStore(name).delete(blob)
    }
    await remember(tx, blobs)
    return unsent
  })
}

/** Drop the private values that the workshop has, or will never take; returns how many went, and how many of them it would not take. */
export async function dropReceived(tx: Changing): Promise<{ gone: number; refused: number }> {
  const values = tx.objectStore('values')
  const rows = await values.getAll()
  const refused = rows.filter((row) => row.waiting === 1 && FINAL.includes(row.refused?.code ?? ''))
  const gone = [...refused, ...rows.filter(({ waiting }) => waiting === undefined)].map(({ blob }) => blob)
  for (const blob of gone) await values.delete(blob)
  await tx.objectStore('thumbs').clear()
  await remember(tx, gone)
  return { gone: gone.length, refused: refused.length }
}

/** The journal has what was written here: of these it must put nothing back. */
async function remember(tx: Changing, blobs: readonly string[]): Promise<void> {
  if (blobs.length)
    await putSingle(tx, 'dropped', [...new Set([...((await single(tx, 'dropped')) ?? []), ...blobs])])
}
