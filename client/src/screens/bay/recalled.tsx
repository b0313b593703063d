/** What the workshop has stated against a job, as it stands on the phone for as long as it stands. */
import { unsettled } from '../../work/recalls'
import { RowKey } from './rows'
import { foundWords } from '../../work/stops'
import { lower, type JobNow } from '../../work/job'

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
          <b>Lot {found.recall.lot} is recalled.</b> {found.recall.because} In this engine:{' '}
          {lower(foundWords(now, found))}. Fit another, or call the owner, who may take it over.
        </p>
      ))}
      {now.withdrawal && (
        <p class="stop-words">
          <b>This procedure was withdrawn.</b> {now.withdrawal.because}
        </p>
      )}
      {again && done.length > 0 && (
        <ul class="rows" aria-label="Fit another">
          {done.map(({ step }) => (
            <RowKey key={step.id} onPress={() => again(step.id)} note="its price is shown first">
              Do {step.number || step.title} again
            </RowKey>
          ))}
        </ul>
      )}
    </>
  )
}
