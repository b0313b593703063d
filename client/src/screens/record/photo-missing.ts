/** Why a photo is not shown, in words: each reason is another thing to do, and none may be told as another. Pure. */
import type { Held } from '../../store'
import type { Picture } from './fetched'
import { timeWords } from '../../work/format'
import * as words from '../../words/en/record/photo-missing'
import { t } from '../../words/message'

export interface Erasure {
  /** Who said so: a person's id, or the console. */ person: string
  at: string
  reason: string
  basis: string /** Ordered, and not carried out yet. */
  isOrdered: boolean
}

/** What the workshop stated of a blob's erasing: that it is done, else that it is ordered and stands. */
export function erasureOf(statements: readonly Held[], blob: string): Erasure | null {
  const stand = statements.filter(({ standing }) => standing !== 'doubted').map(({ entry }) => entry)
  const withdrawn = new Set(
    stand.flatMap((entry) => (entry.kind === 'erasure.withdrawn' ? [entry.body.order] : [])),
  )
  const ordered = stand.find(
    (entry) =>
      entry.kind === 'erasure.ordered' && entry.body.blobs.includes(blob) && !withdrawn.has(entry.id),
  )
  const done = stand.find((entry) => entry.kind === 'blob.erased' && entry.body.blob === blob)
  // The console carries out; who wanted it said so in the order.
  const said = ordered ?? done
  if (said?.kind !== 'erasure.ordered' && said?.kind !== 'blob.erased') return null
  return {
    person: said.person,
    at: said.at,
    reason: said.body.reason,
    basis: said.body.basis,
    isOrdered: !done,
  }
}

type Missing = NonNullable<Picture['missing']>

/** `short` stands in place of a small photo. */
export function missingWords(
  missing: Missing,
  erasure: (Erasure & { by: string }) | null,
): { short: string; whole: string } {
  if (erasure && missing !== 'damaged') {
    const { by, at, reason, basis, isOrdered } = erasure
    const what = isOrdered ? t(words.orderedErased) : t(words.erased)
    return {
      short: isOrdered ? t(words.toBeErased) : t(words.erasedShort),
      whole: t(words.erasureInWords, { what, at: timeWords(at), by, reason, basis }),
    }
  }
  return WORDS[missing]
}

const WORDS: Record<Missing, { short: string; whole: string }> = {
  'no-line': {
    short: t(words.noLine),
    whole: t(words.noLineHint),
  },
  refused: {
    short: t(words.notGiven),
    whole: t(words.notGivenHint),
  },
  'not-there': {
    short: t(words.notArrived),
    whole: t(words.notArrivedHint),
  },
  damaged: {
    short: t(words.damaged),
    whole: t(words.damagedHint),
  },
  'no-picture': {
    short: t(words.notShown),
    whole: t(words.notShownHint),
  },
}
