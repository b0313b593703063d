/** The seal of a step, by the state of its job. */
import type { JobState } from '../procedure/state'
import type { SealState } from './shown'

export function sealOf(state: JobState, index: number): SealState {
  const status = state.steps[index]
  if (status === 'done') return 'holds'
  if (status === 'waived') return 'passed'
  return state.lost[index] ? 'broken' : 'todo'
}
