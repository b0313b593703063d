import type { Inside } from './inside'
import { dropErased, heldOf } from './let-go'
import { erasedUnsent } from './notices'
import { keepSingle, readSingle } from './singles'

/** Private values and photos by their hash, as the workshop asks for them again, hides or erases them. */
export class Blobs {
  constructor(private readonly inside: Inside) {}

  /** The workshop's disk has these no more, or not as they were: what of them is here waits to be sent again. */
  async sendAgain(blobs: readonly string[]): Promise<void> {
    if (!blobs.length) return
    const photosHere = await this.inside.keeper.pictures.here()
    const isNew = await this.inside.db.change(['photos', 'values'], async (tx) => {
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
    if (isNew) await this.inside.stirred()
  }

  /** What the workshop erased goes from here, too; what had not been sent is told. */
  async forget(erased: readonly string[]): Promise<void> {
    const photosHere = await this.inside.keeper.pictures.here()
    const held = [
      ...new Set([
        ...(await heldOf(this.inside.db, erased)),
        ...erased.filter((blob) => photosHere.has(blob)),
      ]),
    ]
    if (!held.length) return
    await this.inside.alone(async () => {
      const unsent = await dropErased(this.inside.db, held)
      if (unsent) await this.inside.announce(erasedUnsent(unsent))
      await this.inside.keeper.letGo(held.filter((blob) => photosHere.has(blob)))
    })
  }

  /** Of these nobody but owners is shown anything, as long as the order stands. */
  async hide(ordered: readonly string[]): Promise<void> {
    const hidden = (await heldOf(this.inside.db, [...new Set(ordered)])).sort()
    const before = (await readSingle(this.inside.db, 'hidden')) ?? []
    if (hidden.join() === before.join()) return
    await keepSingle(this.inside.db, 'hidden', hidden.length ? hidden : null)
    await this.inside.stirred()
  }
}
