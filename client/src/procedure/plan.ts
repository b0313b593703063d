/**
 * The plan: what is to be done to bring a job to an end, and why each part of it.
 *
 * First a look at each engine condition that has several possible values. Then the shortest way over open steps to the
 * end; among equals the one first in listed order, undo steps after ordinary ones. On a straight job that is the listed
 * order. A house rule that stops is in the way like a need; one that asks is not: the bay asks.
 *
 * Rule for rule as `server/twoturns/procedure/machine/plan.py`.
 */
import type { Bits } from './bits'
import { endOf, type Machine, type Part, type Step } from './machine'
import { shortestWay, type States, statesOf } from './search'
import { isSeveral, type JobState, type Loss, type Refusal, refusalOn, todoOf, unmet } from './state'

/** What a phone may look at before it says that it does not know: a second or two on a slow one. */
const MOST_STATES = 20_000

/** Why a step is in the plan. */
export type Why =
  /** It was not done yet. */
  | { kind: 'todo' }
  /** `condition` was taken away, by `entry` of the log or by `step` of this plan; null: two phones disagreed. */
  | { kind: 'redo'; condition: number | null; step: number | null; entry: string | null }
  /** `step` of this plan (null: the end) needs `condition` inside `wanted`. */
  | { kind: 'undo'; condition: number; wanted: number; step: number | null }
  /** It only clears the way. */
  | { kind: 'undo'; condition: null }

export type PlanItem =
  /** See how a condition is: it may be any of several values. */
  | { kind: 'look'; condition: number }
  /** `parts` are what it uses up again: each single-use part, and how many new ones. */
  | { kind: 'step'; step: number; why: Why; parts: readonly Part[] }

/**
 * There is no way, or (`too-long`) none was found: the owner decides. `step` is the first that is todo and `refusal`
 * what it lacks; without a step, it is the end that lacks it.
 */
export interface Blocked {
  why: 'no-way' | 'too-long'
  step: number | null
  refusal: Refusal | null
}

/** The items in order. What comes after looks takes each condition at its value in `assumed`. */
export interface Plan {
  items: PlanItem[]
  assumed: [number, number][]
  blocked: Blocked | null
}

interface Options {
  /** The end to reach, by its name. */
  end?: string
  /** Why steps that were done are todo again, from the fold. */
  lost?: readonly (Loss | null)[]
  /** Which steps were ever done or failed, from the fold. */
  tried?: readonly boolean[]
  /** How many states may be looked at. */
  limit?: number
}

/** The plan from possible values of each condition and the steps that are todo. */
export function plan(
  machine: Machine,
  conditions: readonly number[],
  todo: ReadonlySet<number>,
  { end = 'finished', lost = [], tried = [], limit = MOST_STATES }: Options = {},
): Plan {
  const several = [...conditions.keys()].filter(
    (c) => isSeveral(conditions[c]!) && !machine.conditions[c]!.proof,
  )
  const values = conditions.map((mask) => 31 - Math.clz32(mask & -mask))
  const states = statesOf(machine, endOf(machine, end))
  const start = states.packed(values, todo)
  const way = shortestWay(states, start, limit)
  const looks = several.map((condition): PlanItem => ({ kind: 'look', condition }))
  const assumed = several.map((c): [number, number] => [c, values[c]!])
  if (way.steps === null) {
    const why = way.gaveUp ? 'too-long' : 'no-way'
    return { items: looks, assumed, blocked: { why, ...lacking(machine, values, todo, end) } }
  }
  return {
    items: [...looks, ...new Reasons(states, start, way.steps, lost, tried).items()],
    assumed,
    blocked: null,
  }
}

/**
 * Whether a gap that the owner accepts at a step that is todo brings the job nearer to an end: where that is reached
 * without the step ever being done. What it proves stays unproved: a later step or a house rule that asks for it would
 * stand in the way for good. Where the search gives up nobody knows, and the owner may.
 */
export function gapHelps(
  machine: Machine,
  { conditions, steps }: Pick<JobState, 'conditions' | 'steps'>,
  step: number,
  end = 'finished',
): boolean {
  const todo = todoOf({ steps })
  if (!endOf(machine, end).all_must || !machine.steps[step]!.must || !todo.delete(step)) return false
  const never: Step = { ...machine.steps[step]!, guard: [[0, 0]], effect: [] }
  const without = { ...machine, steps: machine.steps.map((each, at) => (at === step ? never : each)) }
  const { blocked } = plan(without, conditions, todo, { end })
  return blocked === null || blocked.why === 'too-long'
}

function lacking(
  machine: Machine,
  values: readonly number[],
  todo: ReadonlySet<number>,
  end: string,
): Pick<Blocked, 'step' | 'refusal'> {
  const conditions = values.map((value) => 1 << value)
  const step = [...machine.steps.keys()].find((at) => machine.steps[at]!.must && todo.has(at))
  const { all_must, conditions: wanted } = endOf(machine, end)
  if (step === undefined || !all_must) {
    const found = unmet(machine, conditions, wanted)
    return { step: null, refusal: found && { why: 'need', ...found } }
  }
  return { step, refusal: refusalOn(machine, conditions, todo, step) }
}

/** Walks a way once more and says why each step is on it. */
class Reasons {
  private readonly machine: Machine
  private readonly before: Bits[]
  /** For a step that this way makes todo: what was taken, and by which. */
  private readonly takenBy = new Map<number, [number, number]>()

  constructor(
    private readonly states: States,
    start: Bits,
    private readonly steps: readonly number[],
    private readonly lost: readonly (Loss | null)[],
    private readonly tried: readonly boolean[],
  ) {
    this.machine = states.machine
    this.before = [start]
    for (const step of steps) {
      const move = states.moves.find((each) => each.step === step)!
      this.before.push(states.done(this.before.at(-1)!, move))
    }
  }

  items(): PlanItem[] {
    return this.steps.map((step, at) => {
      const why = this.why(at, step)
      this.noteTaken(at, step)
      const isAgain = (this.tried[step] ?? false) || why.kind === 'redo'
      return { kind: 'step', step, why, parts: isAgain ? this.machine.steps[step]!.uses : [] }
    })
  }

  private why(at: number, step: number): Why {
    if (!this.machine.steps[step]!.must) return this.undo(at, step)
    const taken = this.takenBy.get(step)
    if (taken) {
      this.takenBy.delete(step)
      return { kind: 'redo', condition: taken[0], step: taken[1], entry: null }
    }
    const loss = this.lost[step]
    return loss
      ? { kind: 'redo', condition: loss.condition, step: null, entry: loss.entry }
      : { kind: 'todo' }
  }

  /** Notes which must-steps this one makes todo, and by what it takes from them. */
  private noteTaken(at: number, step: number): void {
    const { effect, undo } = this.machine.steps[step]!
    for (const [c, value] of effect) {
      const { proof } = this.machine.conditions[c]!
      const had = this.states.value(this.before[at]!, c)
      for (const [left, makers] of this.machine.makersOf.get(c) ?? []) {
        for (const maker of makers) {
          const isTaken = left !== value && (proof || (left === had && (undo || maker > step)))
          if (!isTaken || this.states.isTodo(this.before[at]!, maker) || this.takenBy.has(maker)) continue
          this.takenBy.set(maker, [c, step])
        }
      }
    }
  }

  /** The first later step that needs what this one brings, and what that is. */
  private undo(at: number, step: number): Why {
    const brought = new Map(this.machine.steps[step]!.effect)
    for (const user of [...this.steps.slice(at + 1), null]) {
      for (const [c, wanted] of this.states.asked(user)) {
        const value = brought.get(c)
        const had = this.states.value(this.before[at]!, c)
        if (value === undefined || value === had) continue
        if ((wanted >> value) & 1 && !((wanted >> had) & 1))
          return { kind: 'undo', condition: c, wanted, step: user }
      }
    }
    return { kind: 'undo', condition: null }
  }
}
