import type { BundleText } from './database'
import { dropHalves } from './downloads'
import type { Inside } from './inside'
import { putSingle, readSingle } from './singles'

/** Procedures that the workshop publishes, and their pictures, as they were fetched. */
export class BundleCache {
  constructor(private readonly inside: Inside) {}

  async all(): Promise<BundleText[]> {
    return this.inside.db.read(['bundles'], (tx) => tx.objectStore('bundles').getAll())
  }

  async tag(): Promise<string | null> {
    return (await readSingle(this.inside.db, 'bundles'))?.etag ?? null
  }

  async keep(bundle: BundleText): Promise<void> {
    await this.inside.db.change(['bundles', 'things'], async (tx) => {
      await tx.objectStore('bundles').put(bundle, bundle.row.bundle)
      if (bundle.text !== null) await dropHalves(tx, bundle.row.bundle)
    })
    await this.inside.stirred()
  }

  /** All that the list names is here: of what it named before, a half may still lie about. */
  async keepTag(etag: string | null): Promise<void> {
    await this.inside.db.change(['things'], async (tx) => {
      await putSingle(tx, 'bundles', etag === null ? null : { etag })
      await dropHalves(tx)
    })
  }

  async hasAsset(blob: string): Promise<boolean> {
    return (
      (await this.inside.db.read(['assets'], (tx) => tx.objectStore('assets').getKey(blob))) !== undefined
    )
  }

  async keepAsset(blob: string, type: string, bytes: ArrayBuffer): Promise<void> {
    await this.inside.db.change(['assets', 'things'], async (tx) => {
      await tx.objectStore('assets').put({ type, bytes }, blob)
      await dropHalves(tx, blob)
    })
  }
}
