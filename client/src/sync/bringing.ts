/** Brings one procedure that is new here, with its pictures: evaluated only where there is one. */
import type { BundleRow as Listed } from '../ledger/answers'
import type { Body } from '../ledger/bodies'
import { readBundle, type Bundle } from '../procedure/bundle'
import { troubleOf, type BundleRow, type Trouble } from '../store'
import { BundleCache } from '../store/bundle-cache'
import { Downloads } from '../store/downloads'
import type { Inside } from '../store/inside'
import type { Api } from './api'
import { Download, NotAsAsked, NotAsNamed } from './download'
import { Refused } from './errors'
import * as words from '../words/en/sync/bringing'

const incomplete = troubleOf('bundle-incomplete', words.bundleIncomplete, words.bundleIncompleteHint)

const notPublished = troubleOf('bundle-not-published', words.bundleNotPublished, words.bundleNotPublishedHint)

const damagedAtWorkshop = troubleOf('bundle-damaged', words.bundleDamaged, words.bundleDamagedHint)

const changedOnTheWay = troubleOf('bundle-changed', words.bundleChanged, words.bundleChangedHint)

const newerForm = troubleOf('bundle-newer', words.bundleNewer, words.bundleNewerHint)

/** A procedure of the workshop's list, with the signed word that publishes it, and why it is not offered, if it is not. */
type Listing = Omit<Listed, 'withdrawn'> & {
  said: Body<'bundle.published'> | undefined
  isByOwner: boolean
  withdrawn: Trouble | null
}

export class Bringing {
  readonly #cache: BundleCache
  readonly #download: Download

  constructor(api: Api, inside: Inside) {
    this.#cache = new BundleCache(inside)
    this.#download = new Download(api, new Downloads(inside))
  }

  /** Bring one bundle and its pictures; false when some of it did not come. */
  async bring({ said, isByOwner, withdrawn, ...found }: Listing, held: string | null): Promise<boolean> {
    if (!said) {
      await this.#cache.keep({ row: rowOf(found, notPublished), text: held })
      return false
    }
    const listed = { ...found, ...said }
    try {
      const text =
        held ??
        new TextDecoder().decode(await this.#download.whole(`/api/bundles/${listed.bundle}`, listed.bundle))
      await this.#cache.keep({ row: rowOf(listed, withdrawn ?? incomplete), text })
      const bundle = readBundle(text)
      if (bundle && wantsAnOwner(bundle) && !isByOwner) {
        await this.#cache.keep({ row: rowOf(listed, withdrawn ?? notPublished), text })
        return true
      }
      for (const { blob, type } of bundle?.assets ?? []) await this.#bringAsset(blob, type)
      await this.#cache.keep({
        row: rowOf(listed, withdrawn ?? (bundle ? null : newerForm)),
        text,
      })
      return true
    } catch (error) {
      if (!(error instanceof NotAsNamed || error instanceof NotAsAsked || isOfThePart(error))) throw error
      const because = error instanceof NotAsAsked ? changedOnTheWay : damagedAtWorkshop
      await this.#cache.keep({ row: rowOf(listed, withdrawn ?? because), text: held })
      return false
    }
  }

  async #bringAsset(blob: string, type: string): Promise<void> {
    if (await this.#cache.hasAsset(blob)) return
    await this.#cache.keepAsset(blob, type, await this.#download.whole(`/api/blobs/${blob}`, blob))
  }
}

/** Refused for what it is: not for the session, which may end while a long part comes, and not for the load. */
const isOfThePart = (error: unknown) => error instanceof Refused && ![401, 429, 503].includes(error.status)

/** A maker's word holds in place of a `stop`: no console lets work go by that. */
const wantsAnOwner = ({ rules }: Bundle) => rules.some((rule) => rule.kind === 'stop' && 'instead' in rule)

const rowOf = (
  listed: Omit<Listing, 'said' | 'isByOwner' | 'withdrawn'>,
  because: Trouble | null,
): BundleRow => ({
  bundle: listed.bundle,
  id: listed.id,
  name: listed.name,
  edition: listed.edition,
  engineCodes: listed.engine_codes,
  offered: because === null,
  because,
})
