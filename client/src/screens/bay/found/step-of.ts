import type { Found, FoundNow } from '../../../work/found'
import type { JobNow, StepNow } from '../../../work/job'

/** The step at which it was found; the one that work stands at where the procedure has no such step. */
export const stepOf = (now: JobNow, { step }: Pick<FoundNow, 'step'>): StepNow =>
  now.steps.find((each) => each.step.id === step?.id) ?? standsAt(now)

/** Where something that is found now is noted: at the step that is under hand, or was last. */
export const standsAt = ({ current, standing, steps }: JobNow): StepNow =>
  current ?? standing ?? steps.filter(({ step }) => !step.undo).at(-1) ?? steps[0]!

/** The extra of that name, with its finding. */
export function extraIn({ found }: Found, entry: string | undefined) {
  const of = found.find(({ extras }) => extras.some((extra) => extra.entry === entry))
  const extra = of?.extras.find((each) => each.entry === entry)
  return of && extra ? { found: of, extra } : null
}
