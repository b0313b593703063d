/** Where a job goes: to its good end, or, when no way leads there any more, to another end that is right. */
import type { Bundle } from '../procedure/bundle'
import { bringers, type Machine } from '../procedure/machine'
import { plan, type Plan } from '../procedure/plan'
import type { JobState } from '../procedure/state'

export interface EndingNow {
  id: string
  name: string
  /** What stays forbidden for good: rules that stop. */
  never: { words: string; because: string }[]
}

/** `end` is null for the end of all steps. */
export interface WayNow {
  way: Plan
  end: string | null
  /** What it was found for. */
  asked: string
}

/**
 * The way to the end of all steps; if there is none, the way to the first other end that can be reached.
 * A search that was given up proves nothing: then the way stays blocked, and the owner decides.
 * `before` is what was found of this machine at an earlier time; it stands while the same is asked.
 */
export function wayOut(
  machine: Machine,
  conditions: readonly number[],
  todo: ReadonlySet<number>,
  { lost, tried }: Pick<JobState, 'lost' | 'tried'>,
  before: WayNow | null = null,
): WayNow {
  const asked = JSON.stringify([conditions, [...todo], lost, tried])
  return before?.asked === asked ? before : { ...wayFrom(machine, conditions, todo, lost, tried), asked }
}

function wayFrom(
  machine: Machine,
  conditions: readonly number[],
  todo: ReadonlySet<number>,
  lost: JobState['lost'],
  tried: JobState['tried'],
): Omit<WayNow, 'asked'> {
  const way = plan(machine, conditions, todo, { lost, tried })
  if (way.blocked?.why === 'no-way') {
    for (const { id, all_must } of machine.ends) {
      const other = all_must ? null : plan(machine, conditions, todo, { lost, tried, end: id })
      if (other && !other.blocked) return { way: other, end: id }
    }
  }
  return { way, end: null }
}

/** The rules that stop and that are broken for good: no step brings what they ask for. */
function neverOf(bundle: Bundle, machine: Machine, conditions: readonly number[]): EndingNow['never'] {
  const isLost = ([c, wanted]: readonly [number, number]) =>
    (conditions[c]! & ~wanted) !== 0 && bringers(machine, c, wanted).length === 0
  const broken = new Set(
    machine.steps.flatMap(({ rules }) =>
      rules.filter(({ guard }) => guard.some(isLost)).map(({ rule }) => rule),
    ),
  )
  return bundle.rules
    .filter(({ kind }, at) => kind === 'stop' && broken.has(at))
    .map(({ never, because }) => ({ words: never, because }))
}

export function endingOf(
  bundle: Bundle,
  machine: Machine,
  end: string | null,
  conditions: readonly number[],
): EndingNow | null {
  const found = bundle.ends.find(({ id }) => id === end)
  return found ? { id: found.id, name: found.name, never: neverOf(bundle, machine, conditions) } : null
}

/** Nothing is left to be done before another end than the good one. */
export const isAtItsEnd = (now: { ending: EndingNow | null; plan: readonly unknown[] }): boolean =>
  now.ending !== null && now.plan.length === 0
