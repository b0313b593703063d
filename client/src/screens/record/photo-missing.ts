/** Why a photo is not shown, in words: each reason is another thing to do, and none may be told as another. Pure. */
import type { Held } from '../../store'
import type { Picture } from './fetched'
import { timeWords } from '../../work/format'

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
    const what = isOrdered ? 'To be erased, and not shown any more: ordered' : 'Erased'
    return {
      short: isOrdered ? 'to be erased' : 'erased',
      whole: `${what} on ${timeWords(at)} by ${by}. Reason: ${reason}. Basis: ${basis}. The record of the photo is here.`,
    }
  }
  return WORDS[missing]
}

const WORDS: Record<Missing, { short: string; whole: string }> = {
  'no-line': {
    short: 'no line to the workshop',
    whole:
      'There is no line to the workshop, and this photo is not kept here. Look again when the line is back: this says nothing of the photo itself.',
  },
  refused: {
    short: 'not given to this browser',
    whole:
      'The workshop does not give this photo to this browser now. What the workshop said stands with the words of the sync.',
  },
  'not-there': {
    short: 'not in the workshop yet',
    whole:
      'The bytes of this photo have not reached the workshop yet. Bring the phone that took it near the workshop: it sends them by itself.',
  },
  damaged: {
    short: 'altered or missing in the workshop',
    whole:
      'This photo was altered or is missing on the workshop\u2019s disk. What lies there is not what was signed, and is not shown. Bring the phone that took it near the workshop: if it still has the photo, it sends it again. Or bring it back from a backup.',
  },
  'no-picture': {
    short: 'cannot be shown',
    whole:
      'The bytes of this photo are in the workshop, and this browser cannot show them as a picture: they are of another kind than a photo should be, or too large. They are kept as they are.',
  },
}
