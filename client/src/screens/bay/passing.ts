/** House rules that ask and are passed by in a step, with the reason that was given. */
import type { StepNow } from '../../work/job'
import type { RefusalNow } from '../../work/refusal'
import type { Passing } from './in-job'

/** In this session only: they are written with the step, and asked for again after a kill. */
const reasons = new Map<string, string>()
const reasonKey = (job: string, { step }: StepNow) => `${job} ${step.id}`

export const giveReason = (job: string, asked: StepNow, because: string): unknown =>
  reasons.set(reasonKey(job, asked), because)

export const dropReason = (job: string, asked: StepNow): unknown => reasons.delete(reasonKey(job, asked))

export function passingNow(job: string, asked: StepNow, refusal: RefusalNow | null): Passing | null {
  const because = reasons.get(reasonKey(job, asked))
  return refusal && refusal.ask.length > 0 && because !== undefined ? { rules: refusal.ask, because } : null
}
