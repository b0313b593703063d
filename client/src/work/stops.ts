/** What the workshop stated about things in this job, and nobody has said yet that he has seen. */
import type { JobNow } from './job'
import { capital } from './letters'
import { unsettled, type RecallInJob } from './recalls'
import * as words from '../words/en/work/stops'
import { t } from '../words/message'

export interface StopNow {
  name: string
  fact: string
  because: string
  hint: string
}

/** `note.added` of this name says that the stop was seen: two phones need not both be told. */
export const seenName = (statement: string) => `seen_${statement.slice(0, 24)}`

/** What a recall finds in this engine, in words: 'Timing belt (28)'. */
export function foundWords({ bundle }: JobNow, { standing, borne }: RecallInJob): string {
  const parts = (standing.length > 0 ? standing : borne).map(({ part, step }) => {
    const label = bundle.kit.find((each) => each.part === part)?.label ?? part
    const number = bundle.steps.find(({ id }) => id === step)?.number
    return number ? `${label} (${number})` : label
  })
  return capital([...new Set(parts)].join(', '))
}

/** Recalls, a withdrawal and `more` that nobody has said yet that he has seen. */
export function stopsOf(now: JobNow, more: readonly StopNow[] = []): StopNow[] {
  const seen = new Set(
    now.held.flatMap(({ entry }) =>
      entry.kind === 'note.added' && entry.body.name !== undefined ? [entry.body.name] : [],
    ),
  )
  const recalled = unsettled(now.recalled).map((found): StopNow => {
    const { entry, lot, because } = found.recall
    return {
      name: seenName(entry),
      fact: t(words.lotRecalled, { lot }),
      because,
      hint: t(words.lotRecalledHint, { found: foundWords(now, found) }),
    }
  })
  const { withdrawal } = now
  const withdrawn = withdrawal && {
    name: seenName(withdrawal.entry),
    fact: t(words.procedureWithdrawn),
    because: withdrawal.because,
    hint: t(words.procedureWithdrawnHint),
  }
  return [...recalled, ...(withdrawn ? [withdrawn] : []), ...more].filter(({ name }) => !seen.has(name))
}
