/**
 * Pulling procedures. A bundle is offered for new jobs only when it and every picture of it are
 * here and have the hashes they are named by: a step without its picture is no instruction. And only
 * when the workshop's own signed word publishes it: the list says what to fetch, not what to go by.
 */
import type { BundlesAnswer, BundleRow as Listed } from '../ledger/answers'
import type { Body } from '../ledger/bodies'
import { readBundle } from '../procedure/bundle'
import { troubleOf, type BundleRow, type BundleText, type PhoneStore, type Trouble } from '../store'
import type { Api } from './api'
import { Download, NotAsAsked, NotAsNamed } from './download'
import { Refused } from './errors'
import type { Ledger } from './pull'
import * as words from '../words/en/sync/bundles'
import { t } from '../words/message'

const incomplete: Trouble = troubleOf('bundle-incomplete', (at) => ({
  message: t(words.bundleIncomplete, { at }),
  hint: t(words.bundleIncompleteHint),
}))

const notPublished: Trouble = {
  code: 'bundle-not-published',
  message: t(words.bundleNotPublished),
  hint: t(words.bundleNotPublishedHint),
}

const newerForm: Trouble = {
  code: 'bundle-newer',
  message: t(words.bundleNewer),
  hint: t(words.bundleNewerHint),
}

const damagedAtWorkshop: Trouble = {
  code: 'bundle-damaged',
  message: t(words.bundleDamaged),
  hint: t(words.bundleDamagedHint),
}

const changedOnTheWay: Trouble = troubleOf('bundle-changed', (at) => ({
  message: t(words.bundleChanged, { at }),
  hint: t(words.bundleChangedHint),
}))

export class Bundles {
  readonly #download: Download

  constructor(
    private readonly api: Api,
    private readonly store: PhoneStore,
    private readonly ledger: Ledger,
  ) {
    this.#download = new Download(api, store)
  }

  /** One request when nothing is new. The tag is kept last: a broken round starts over. */
  async pull(): Promise<void> {
    const held = await this.store.bundleCache.all()
    const etag = held.some(isReadNow) ? null : await this.store.bundleCache.tag()
    const answer = await this.api.answer('/api/bundles', etag ? { headers: { 'If-None-Match': etag } } : {})
    const stated = await this.#stated()
    for (const one of held) await this.#withdraw(one, stated)
    if (answer.status === 304) return
    const { bundles } = await this.api.read<BundlesAnswer>(answer, ['bundles'])
    const texts = new Map(held.map(({ row, text }) => [row.bundle, text]))
    let isWhole = true
    for (const listed of bundles) {
      isWhole = (await this.#bring(listed, texts.get(listed.bundle) ?? null, stated)) && isWhole
    }
    if (isWhole) await this.store.bundleCache.keepTag(answer.headers.get('ETag'))
  }

  /** What the console and the owner have signed of procedures, the newest word of each. */
  async #stated(): Promise<Stated> {
    const roster = await this.ledger.roster()
    const stated: Stated = { published: new Map(), withdrawn: new Map() }
    for (const { entry, index } of await this.store.ledger.statements([
      'bundle.published',
      'bundle.withdrawn',
    ])) {
      if (index === null || !roster.speaksAs(entry, index, ['console', 'owner'])) continue
      if (entry.kind === 'bundle.published') stated.published.set(entry.body.bundle, entry.body)
      if (entry.kind === 'bundle.withdrawn') stated.withdrawn.set(entry.body.bundle, entry.body.because)
    }
    return stated
  }

  /** What was withdrawn is not offered any more, whatever the list says. */
  async #withdraw({ row, text }: BundleText, { withdrawn }: Stated): Promise<void> {
    const because = withdrawn.get(row.bundle)
    if (because === undefined || !row.offered) return
    await this.store.bundleCache.keep({
      row: { ...row, offered: false, because: withdrawnBecause(because) },
      text,
    })
  }

  /** Bring one bundle and its pictures; false when some of it did not come. */
  async #bring(found: Listed, held: string | null, stated: Stated): Promise<boolean> {
    const said = stated.published.get(found.bundle)
    if (!said) {
      await this.store.bundleCache.keep({ row: rowOf(found, notPublished), text: held })
      return false
    }
    const listed = { ...found, ...said }
    const because = stated.withdrawn.get(listed.bundle) ?? listed.withdrawn
    const withdrawn = because === null ? null : withdrawnBecause(because)
    try {
      const text =
        held ??
        new TextDecoder().decode(await this.#download.whole(`/api/bundles/${listed.bundle}`, listed.bundle))
      await this.store.bundleCache.keep({ row: rowOf(listed, withdrawn ?? incomplete), text })
      const bundle = readBundle(text)
      for (const { blob, type } of bundle?.assets ?? []) await this.#bringAsset(blob, type)
      await this.store.bundleCache.keep({
        row: rowOf(listed, withdrawn ?? (bundle ? null : newerForm)),
        text,
      })
      return true
    } catch (error) {
      if (!(error instanceof NotAsNamed || error instanceof NotAsAsked || isOfThePart(error))) throw error
      const because = error instanceof NotAsAsked ? changedOnTheWay : damagedAtWorkshop
      await this.store.bundleCache.keep({ row: rowOf(listed, withdrawn ?? because), text: held })
      return false
    }
  }

  async #bringAsset(blob: string, type: string): Promise<void> {
    if (await this.store.bundleCache.hasAsset(blob)) return
    await this.store.bundleCache.keepAsset(blob, type, await this.#download.whole(`/api/blobs/${blob}`, blob))
  }
}

/** Kept by an older app than this one, which can read it. */
const isReadNow = ({ row, text }: BundleText) =>
  row.because?.code === newerForm.code && text !== null && readBundle(text) !== null

/** Refused for what it is: not for the session, which may end while a long part comes, and not for the load. */
const isOfThePart = (error: unknown) => error instanceof Refused && ![401, 429, 503].includes(error.status)

interface Stated {
  published: Map<string, Body<'bundle.published'>>
  withdrawn: Map<string, string>
}

const withdrawnBecause = (because: string): Trouble => ({
  code: 'bundle-withdrawn',
  message: t(words.bundleWithdrawn, { because }),
  hint: t(words.bundleWithdrawnHint),
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
