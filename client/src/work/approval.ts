/** What approval waits for. Pure. */
import type { JobRecord } from './record'
import { unsettled } from './recalls'

/** What still stands between this job and its approval, in words. */
export function missingForApproval({
  state,
  closed,
  steps,
  recalled,
}: Pick<JobRecord, 'state' | 'closed' | 'steps' | 'recalled'>): string[] {
  const missing: string[] = []
  if (!closed) missing.push('The job is not closed.')
  if (state.questions.length > 0)
    missing.push(
      state.questions.length === 1
        ? 'A question has no answer yet.'
        : `${state.questions.length} questions have no answer yet.`,
    )
  const todo =
    closed?.body.end === 'finished'
      ? steps.filter(({ step, seal }) => step.must && (seal === 'todo' || seal === 'broken'))
      : []
  if (todo.length > 0) missing.push(`To do: ${todo.map(({ step }) => step.number).join(', ')}.`)
  for (const { recall } of unsettled(recalled))
    missing.push(
      `Lot ${recall.lot} is recalled and in this engine: another is fitted, or the owner takes it over.`,
    )
  return missing
}
