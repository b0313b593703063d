/**
 * Pulling procedures. A bundle is offered for new jobs only when it and every picture of it are
 * here and have the hashes they are named by: a step without its picture is no instruction. And only
 * when the workshop's own signed word publishes it: the list says what to fetch, not what to go by.
 */
import type { BundlesAnswer } from '../ledger/answers'
import type { Body } from '../ledger/bodies'
import { readBundle } from '../procedure/bundle'
import type { BundleText, PhoneStore, Trouble } from '../store'
import { BundleCache } from '../store/bundle-cache'
import type { Api } from './api'
import { Offline } from './errors'
import type { Ledger } from './pull'
import * as words from '../words/en/sync/bundles'
import { t } from '../words/message'

export class Bundles {
  readonly #cache: BundleCache

  constructor(
    private readonly api: Api,
    private readonly store: PhoneStore,
    private readonly ledger: Ledger,
  ) {
    this.#cache = new BundleCache(store.inside)
  }

  /** One request when nothing is new. The tag is kept last: a broken round starts over. */
  async pull(): Promise<void> {
    const held = await this.#cache.all()
    const etag = held.some(isReadNow) ? null : await this.#cache.tag()
    const answer = await this.api.answer('/api/bundles', etag ? { headers: { 'If-None-Match': etag } } : {})
    const stated = await this.#stated()
    for (const one of held) await this.#withdraw(one, stated)
    if (answer.status === 304) return
    const { bundles } = await this.api.read<BundlesAnswer>(answer, ['bundles'])
    const { Bringing } = await import('./bringing').catch(() => {
      throw new Offline('its code is not here yet')
    })
    const bringing = new Bringing(this.api, this.store.inside)
    const texts = new Map(held.map(({ row, text }) => [row.bundle, text]))
    let isWhole = true
    for (const listed of bundles) {
      const said = stated.published.get(listed.bundle)
      const isByOwner = stated.byOwner.has(listed.bundle)
      const because = stated.withdrawn.get(listed.bundle) ?? listed.withdrawn
      const withdrawn = because === null ? null : withdrawnBecause(because)
      const isHere = await bringing.bring(
        { ...listed, said, isByOwner, withdrawn },
        texts.get(listed.bundle) ?? null,
      )
      isWhole = isHere && isWhole
    }
    if (isWhole) await this.#cache.keepTag(answer.headers.get('ETag'))
  }

  /** What the console and the owner have signed of procedures, the newest word of each. */
  async #stated(): Promise<Stated> {
    const roster = await this.ledger.roster()
    const stated: Stated = { published: new Map(), byOwner: new Set(), withdrawn: new Map() }
    for (const { entry, index } of await this.store.ledger.statements([
      'bundle.published',
      'bundle.withdrawn',
    ])) {
      if (index === null || !roster.speaksAs(entry, index, ['console', 'owner'])) continue
      if (entry.kind === 'bundle.published') {
        stated.published.set(entry.body.bundle, entry.body)
        if (roster.speaksAs(entry, index, ['owner'])) stated.byOwner.add(entry.body.bundle)
      }
      if (entry.kind === 'bundle.withdrawn') stated.withdrawn.set(entry.body.bundle, entry.body.because)
    }
    return stated
  }

  /** What was withdrawn is not offered any more, whatever the list says. */
  async #withdraw({ row, text }: BundleText, { withdrawn }: Stated): Promise<void> {
    const because = withdrawn.get(row.bundle)
    if (because === undefined || !row.offered) return
    await this.#cache.keep({
      row: { ...row, offered: false, because: withdrawnBecause(because) },
      text,
    })
  }
}

/** Kept by an older app than this one, which can read it. */
const isReadNow = ({ row, text }: BundleText) =>
  row.because?.code === 'bundle-newer' && text !== null && readBundle(text) !== null

interface Stated {
  published: Map<string, Body<'bundle.published'>>
  /** Of those, what an owner's device has published: in the place of a `stop` the console's word is not enough. */
  byOwner: Set<string>
  withdrawn: Map<string, string>
}

const withdrawnBecause = (because: string): Trouble => ({
  code: 'bundle-withdrawn',
  message: t(words.bundleWithdrawn, { because }),
  hint: t(words.bundleWithdrawnHint),
})
