/**
 * What the customer said yes to after they signed for the vehicle: a signature covers what stood when it was given, as an
 * owner's word on a notice does (`settled_notices.py` on the server). A gate of this phone, never of the fold. Pure.
 */
import { has } from '../procedure/bits'
import type { Bundle } from '../procedure/bundle'
import { History } from '../procedure/log'
import type { Held } from '../store'
import { foundIn, type FoundNow } from './found'
import { handOverStep } from './last-signature'
import { logEntries } from './log'

export interface Since {
  /** Where the driver signed: the step, and the name of the signature there. */
  step: string
  name: string
  label: string
  found: FoundNow[]
}

/** The note with which somebody says how the customer took it, who is not there to sign. */
export const WORD_SINCE = 'agreed_since'

/** Null where the driver has not signed yet, or all that is agreed was agreed before. */
export function agreedSince({
  held,
  bundle,
}: {
  held: readonly Held[]
  bundle: Pick<Bundle, 'steps'>
}): Since | null {
  const last = bundle.steps.find(({ id }) => id === handOverStep(bundle))
  const proof = last?.proof.find(({ kind }) => kind === 'signature')
  if (!last || !proof) return null
  const { entries, past, index } = History.of(logEntries(held))
  const words = entries.flatMap(({ kind, standing, body }, at) =>
    kind === 'note.added' &&
    standing === 'good' &&
    body['step'] === last.id &&
    (body['name'] === proof.name || body['name'] === WORD_SINCE)
      ? [past[at]!]
      : [],
  )
  if (words.length === 0) return null
  const isCovered = (answer: string) => words.some((seen) => has(seen, index.get(answer)!))
  const found = foundIn(held, bundle).found.filter(
    ({ isAgreed, state, answers }) =>
      isAgreed && state !== 'dropped' && !answers.every(({ id }) => isCovered(id)),
  )
  return found.length === 0 ? null : { step: last.id, name: proof.name, label: proof.label, found }
}

/** All that was agreed since is settled: only now there is something to sign for. */
export const isDoneSince = (job: Parameters<typeof agreedSince>[0]): boolean =>
  agreedSince(job)?.found.every(({ settled }) => settled !== null) ?? false
