/** What approval waits for. Pure. */
import type { JobRecord } from './record'
import { unsettled } from './recalls'
import * as words from '../words/en/work/approval'
import { t } from '../words/message'

/** What still stands between this job and its approval, in words. */
export function missingForApproval({
  state,
  closed,
  steps,
  recalled,
}: Pick<JobRecord, 'state' | 'closed' | 'steps' | 'recalled'>): string[] {
  const missing: string[] = []
  if (!closed) missing.push(t(words.notClosed))
  if (state.questions.length > 0)
    missing.push(
      state.questions.length === 1
        ? t(words.questionOpen)
        : t(words.questionsOpen, { questions: state.questions.length }),
    )
  const todo =
    closed?.body.end === 'finished'
      ? steps.filter(({ step, seal }) => step.must && (seal === 'todo' || seal === 'broken'))
      : []
  if (todo.length > 0) missing.push(t(words.toDo, { todo: todo.map(({ step }) => step.number).join(', ') }))
  for (const { recall } of unsettled(recalled)) missing.push(t(words.lotIsRecalled, { lot: recall.lot }))
  return missing
}
