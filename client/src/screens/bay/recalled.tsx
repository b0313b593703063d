/** What the workshop has stated against a job, as it stands on the phone for as long as it stands. */
import { unsettled } from '../../work/recalls'
import { RowKey } from './rows'
import { foundWords } from '../../work/stops'
import type { JobNow } from '../../work/job'
import { lower } from '../../work/letters'
import * as words from '../../words/en/bay/recalled'
import * as stops from '../../words/en/work/stops'
import { pieces, t } from '../../words/message'

/** With the way out of it that a phone has: `again` leads to doing a step anew. */
export function Recalled({ now, again }: { now: JobNow; again?: (step: string) => void }) {
  const standing = unsettled(now.recalled)
  const ids = new Set(standing.flatMap((found) => found.standing.map(({ step }) => step)))
  const done = now.steps.filter(
    ({ step, seal }) => ids.has(step.id) && (seal === 'holds' || seal === 'passed'),
  )
  return (
    <>
      {standing.map((found) => (
        <p class="stop-words" key={found.recall.entry}>
          {pieces(words.recallStands, {
            fact: <b>{t(stops.lotRecalled, { lot: found.recall.lot })}.</b>,
            because: found.recall.because,
            found: lower(foundWords(now, found)),
          })}
        </p>
      ))}
      {now.withdrawal && (
        <p class="stop-words">
          {pieces(words.withdrawalStands, {
            fact: <b>{t(stops.procedureWithdrawn)}.</b>,
            because: now.withdrawal.because,
          })}
        </p>
      )}
      {again && done.length > 0 && (
        <ul class="rows" aria-label={t(words.fitAnother)}>
          {done.map(({ step }) => (
            <RowKey key={step.id} onPress={() => again(step.id)} note={t(words.priceFirst)}>
              {t(words.doAgain, { number: step.number || step.title })}
            </RowKey>
          ))}
        </ul>
      )}
    </>
  )
}
