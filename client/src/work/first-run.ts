/** What a new workshop still needs before its first job, in the order in which it is done. Pure. */
import type { Held } from '../store'
import { peopleOf, proceduresOf, toolsOf } from './statements'

export type Need = 'procedure' | 'tool' | 'check' | 'mechanic' | 'joined' | 'job' | 'backup'

export interface Step {
  need: Need
  isDone: boolean
}

/** @param around what the statements do not say: whether a job was ever opened, and whether a backup was made */
export function firstRun(
  statements: readonly Held[],
  around: { hasJob: boolean; hasBackup: boolean },
  now: string,
): Step[] {
  const tools = toolsOf(statements, now.slice(0, 10)).filter(({ retired }) => retired === null)
  const mechanics = peopleOf(statements, now).filter(({ role }) => role === 'mechanic')
  const has: Record<Need, boolean> = {
    procedure: proceduresOf(statements).some(({ withdrawn }) => withdrawn === null),
    tool: tools.length > 0,
    check: tools.some(({ on }) => on !== null),
    mechanic: mechanics.length > 0,
    joined: mechanics.some(({ devices }) => devices.length > 0),
    job: around.hasJob,
    backup: around.hasBackup,
  }
  return (Object.keys(has) as Need[]).map((need) => ({ need, isDone: has[need] }))
}

/** The one thing to do now; null once all is there. */
export const nextNeed = (steps: readonly Step[]): Need | null =>
  steps.find(({ isDone }) => !isDone)?.need ?? null
