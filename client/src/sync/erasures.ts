/**
 * What the workshop erased, and what it hides because its erasure is ordered: a phone follows at its next sync.
 * Twin of `erased` and `HIDDEN` in store/erasures.py; `tests/server/store/test_erasing_twins.py` holds the two against
 * each other. A procedure is kept elsewhere on the phone and is never touched.
 */
import type { Entry } from '../ledger/entry'
import type { PhoneStore } from '../store'
import { forgetTypedBefore } from '../store/typed-drafts'
import type { Ledger } from './pull'
import type { Roster } from './roster'

export interface Said {
  entry: Entry
  index: number | null
}

export const ERASURE_KINDS = ['blob.erased', 'erasure.ordered', 'erasure.withdrawn'] as const

/** Since then an owner alone erases nothing: the console's word says what was carried out. */
const CONSOLE_ALONE_SINCE = 2

type Erased = Extract<Entry, { kind: 'blob.erased' }>

/** What counts of what was said to be erased. */
function erasing(roster: Roster, said: readonly Said[]): Erased[] {
  const mayErase = (index: number) =>
    roster.editionAt(index) >= CONSOLE_ALONE_SINCE ? (['console'] as const) : (['console', 'owner'] as const)
  return said.flatMap(({ entry, index }) =>
    entry.kind === 'blob.erased' && index !== null && roster.speaksAs(entry, index, mayErase(index))
      ? [entry]
      : [],
  )
}

/** Blobs that were erased. */
export const erasedBy = (roster: Roster, said: readonly Said[]): string[] =>
  erasing(roster, said).map(({ body }) => body.blob)

/** What was typed before and never kept may say the same of the same person: it goes, too. */
function forgetTyped(erased: readonly Erased[]): void {
  const last = erased
    .map(({ at }) => at)
    .sort()
    .at(-1)
  if (last !== undefined) forgetTypedBefore(last)
}

/** Blobs that an order names which stands: nobody but owners is shown them. A withdrawal may come in before its order. */
export function hiddenBy(roster: Roster, said: readonly Said[]): string[] {
  const counted = said.filter(
    ({ entry, index }) => index !== null && roster.speaksAs(entry, index, ['console', 'owner']),
  )
  const withdrawn = new Set(
    counted.flatMap(({ entry }) => (entry.kind === 'erasure.withdrawn' ? [entry.body.order] : [])),
  )
  return counted.flatMap(({ entry }) =>
    entry.kind === 'erasure.ordered' && !withdrawn.has(entry.id) ? entry.body.blobs : [],
  )
}

export class Erasures {
  /** What an older build pulled and did not act on is made up for once in a run of the app. */
  #isFollowed = false

  constructor(
    private readonly store: PhoneStore,
    private readonly ledger: Ledger,
  ) {}

  async follow(): Promise<void> {
    if (this.#isFollowed && !this.ledger.toldOfErasing) return
    this.#isFollowed = false // until all of it is done
    this.ledger.toldOfErasing = false // a page that a screen has brought meanwhile may tell of more
    const roster = await this.ledger.roster()
    const said = await this.store.ledger.statements(ERASURE_KINDS)
    await this.store.blobs.forget(erasedBy(roster, said))
    forgetTyped(erasing(roster, said))
    await this.store.blobs.hide(hiddenBy(roster, said))
    this.#isFollowed = true
  }
}
