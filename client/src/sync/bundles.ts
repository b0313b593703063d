/**
 * Pulling procedures. A bundle is offered for new jobs only when it and every picture of it are
 * here and have the hashes they are named by: a step without its picture is no instruction.
 */
import { blobId } from '../ledger/private'
import type { Bundle } from '../procedure/bundle'
import type { BundleRow, PhoneStore, Trouble } from '../store'
import type { Api } from './api'
import { Refused } from './errors'

interface Listed {
  bundle: string
  id: string
  name: string
  edition: number
  engine_codes: string[]
  withdrawn: string | null
}

const incomplete: Trouble = {
  code: 'bundle-incomplete',
  message: 'Not all of this procedure is on this phone yet.',
  hint: 'Bring the phone within reach of the workshop until the rest has come.',
}

const damagedAtWorkshop: Trouble = {
  code: 'bundle-damaged',
  message: 'A part of this procedure is not what it was when it was published.',
  hint: 'Tell the owner: it has to be published again.',
}

export class Bundles {
  constructor(
    private readonly api: Api,
    private readonly store: PhoneStore,
  ) {}

  /** One request when nothing is new. The tag is kept last: a broken round starts over. */
  async pull(): Promise<void> {
    const etag = await this.store.post.bundlesTag()
    const answer = await this.api.answer('/api/bundles', etag ? { headers: { 'If-None-Match': etag } } : {})
    if (answer.status === 304) return
    const { bundles } = await this.api.read<{ bundles: Listed[] }>(answer)
    const kept = new Map((await this.store.post.keptBundles()).map((one) => [one.row.bundle, one]))
    let isWhole = true
    for (const listed of bundles) {
      const text = kept.get(listed.bundle)?.text ?? null
      isWhole = (await this.#bring(listed, text)) && isWhole
    }
    if (isWhole) await this.store.post.keepBundlesTag(answer.headers.get('ETag'))
  }

  /** Bring one bundle and its pictures; false when some of it did not come. */
  async #bring(listed: Listed, held: string | null): Promise<boolean> {
    const withdrawn = listed.withdrawn === null ? null : withdrawnBecause(listed.withdrawn)
    try {
      const text = held ?? new TextDecoder().decode(await this.#fetchWhole(`/api/bundles/${listed.bundle}`, listed.bundle))
      await this.store.post.keepBundle({ row: rowOf(listed, withdrawn ?? incomplete), text })
      for (const { blob, type } of (JSON.parse(text) as Bundle).assets) await this.#bringAsset(blob, type)
      await this.store.post.keepBundle({ row: rowOf(listed, withdrawn), text })
      return true
    } catch (error) {
      if (!(error instanceof NotAsNamed || error instanceof Refused)) throw error
      await this.store.post.keepBundle({ row: rowOf(listed, withdrawn ?? damagedAtWorkshop), text: held })
      return false
    }
  }

  async #bringAsset(blob: string, type: string): Promise<void> {
    if (await this.store.post.hasAsset(blob)) return
    await this.store.post.keepAsset(blob, type, await this.#fetchWhole(`/api/blobs/${blob}`, blob))
  }

  async #fetchWhole(path: string, sha: string): Promise<ArrayBuffer> {
    const { bytes } = await this.api.bytes(path)
    if ((await blobId(new Uint8Array(bytes))) !== sha) throw new NotAsNamed(path)
    return bytes
  }
}

/** Bytes that do not hash to their name: damage, at the workshop or in between. */
class NotAsNamed extends Error {}

const withdrawnBecause = (because: string): Trouble => ({
  code: 'bundle-withdrawn',
  message: `This procedure was withdrawn: ${because}`,
  hint: 'Choose another edition, or ask the owner.',
})

const rowOf = (listed: Listed, because: Trouble | null): BundleRow => ({
  bundle: listed.bundle,
  id: listed.id,
  name: listed.name,
  edition: listed.edition,
  engineCodes: listed.engine_codes,
  offered: because === null,
  because,
})
