/**
 * The state of a job, as `fold` finds it, and what it allows: which step is refused and why, what reopening a step
 * costs, what is missing before an end. Steps, conditions and rules are indices into the machine; entries are ids.
 */
import { bringers, endOf, holds, type Machine, type Pairs } from './machine'

export type StepStatus = 'todo' | 'done' | 'waived'

/** Something in a job that the owner must look at; `name` is a proof or a tool slot. */
export interface Flag {
  entry: string
  code: string
  step?: number
  rule?: number
  name?: string
  other?: string
}

/** A `review.returned` that nobody answered yet. It may name a step that the bundle lacks. */
export interface Question {
  entry: string
  step: number | null
}

/** A step that was begun and is not settled; `conditions` are those without its beginning. */
export interface Begun {
  step: number
  entry: string
  conditions: number[]
}

/** Why a step that was done is todo again: the entry, and the condition it took away. */
export interface Loss {
  entry: string
  condition: number | null
}

/** The newest `job.closed`; `changed` when work came in that it has not seen. */
export interface Closed {
  entry: string
  end: string
  changed: boolean
}

/** What is known of a job. `conditions` holds a mask of possible values for each. */
export interface JobState {
  conditions: number[]
  steps: StepStatus[]
  /** Whether each step was ever done or failed: its single-use parts are used. */
  tried: boolean[]
  doneBy: string[][]
  lost: (Loss | null)[]
  toolsOut: string[]
  questions: Question[]
  exceptions: Flag[]
  begun: Begun[]
  closed: Closed | null
  approved: 'approved' | 'changed' | null
  heads: string[]
}

/** The steps that are todo; undo steps always are. */
export function todoOf({ steps }: Pick<JobState, 'steps'>): Set<number> {
  return new Set([...steps.keys()].filter((at) => steps[at] === 'todo'))
}

/** The conditions a step is judged on: its own beginning is left out. */
export function conditionsBefore(state: JobState, step: number): number[] {
  return state.begun.find((each) => each.step === step)?.conditions ?? state.conditions
}

interface Unmet {
  condition: number
  possible: number
  wanted: number
  /** The steps that bring the condition there. */
  by: number[]
}

/** The first thing that keeps a step from being begun. */
export type Refusal =
  /** It is not todo. */
  | { why: 'done' }
  /** An undo step that would undo nothing. */
  | { why: 'no-change' }
  /** `step` comes first. */
  | { why: 'order'; step: number }
  | ({ why: 'need' | 'move' } & Unmet)
  /** `by` is empty for a rule that forbids always. */
  | ({ why: 'rule'; rule: number; ask: boolean } & Unmet)

/** The first thing to put right before a step, house rules last; null if it is open. */
export function refusal(machine: Machine, state: JobState, step: number): Refusal | null {
  return refusalOn(machine, conditionsBefore(state, step), todoOf(state), step)
}

/** The same of any state. */
export function refusalOn(
  machine: Machine,
  conditions: readonly number[],
  todo: ReadonlySet<number>,
  step: number,
): Refusal | null {
  const it = machine.steps[step]!
  const isIdle = it.effect.every(([c, v]) => conditions[c] === 1 << v)
  if (!it.undo && !todo.has(step) && (it.must || isIdle)) return { why: 'done' }
  const earlier = it.before.find((each) => todo.has(each))
  if (earlier !== undefined) return { why: 'order', step: earlier }
  const need = unmet(machine, conditions, it.guard)
  if (need) return { why: 'need', ...need }
  const move = unmet(machine, conditions, it.moves)
  if (move) return { why: 'move', ...move }
  if (it.undo && isIdle) return { why: 'no-change' }
  for (const { rule, guard } of it.rules) {
    const broken = unmet(machine, conditions, guard)
    if (broken) return { why: 'rule', rule, ask: machine.rules[rule]!.ask, ...broken }
  }
  return null
}

/** The first of these conditions that may be outside its mask. */
export function unmet(machine: Machine, conditions: readonly number[], pairs: Pairs): Unmet | null {
  for (const [condition, wanted] of pairs) {
    const possible = conditions[condition]!
    if (possible & ~wanted) return { condition, possible, wanted, by: bringers(machine, condition, wanted) }
  }
  return null
}

/** The steps that become todo when a step is reopened: itself, and what fell with it. */
export function priceOfReopening(machine: Machine, state: JobState, step: number): number[] {
  const fallen = new Set<number>()
  for (const [condition] of machine.steps[step]!.reopen) {
    for (const [, makers] of machine.makersOf.get(condition) ?? [])
      for (const each of makers) fallen.add(each)
  }
  const standing = [...fallen].filter((each) => state.steps[each] !== 'todo' && each !== step)
  return [...standing, step].sort((a, b) => a - b)
}

/** One thing that keeps a job from an end. */
export type Missing =
  | { kind: 'step'; step: number }
  | { kind: 'condition'; condition: number; possible: number; wanted: number }
  | { kind: 'several'; condition: number; possible: number }
  | { kind: 'tool'; slot: string }
  | { kind: 'question'; step: number | null; entry: string }

type Ending = Pick<JobState, 'conditions' | 'steps' | 'toolsOut' | 'questions'>

/**
 * What is missing before a job may end so; nothing means that it may. An end of all must-steps also asks that no engine
 * condition has several possible values, that no tool is out and that no question is open; any other only its own
 * conditions.
 */
export function mayEnd(machine: Machine, state: Ending, end: string): Missing[] {
  const { all_must, conditions } = endOf(machine, end)
  const own = conditions
    .filter((pair) => !holds([pair], state.conditions))
    .map(
      ([c, wanted]): Missing => ({ kind: 'condition', condition: c, possible: state.conditions[c]!, wanted }),
    )
  if (!all_must) return own
  return [
    ...state.questions.map((question): Missing => ({ kind: 'question', ...question })),
    ...[...machine.steps.keys()]
      .filter((step) => machine.steps[step]!.must && state.steps[step] === 'todo')
      .map((step): Missing => ({ kind: 'step', step })),
    ...own,
    ...[...state.conditions.keys()]
      .filter((c) => isSeveral(state.conditions[c]!) && !machine.conditions[c]!.proof)
      .map((c): Missing => ({ kind: 'several', condition: c, possible: state.conditions[c]! })),
    ...state.toolsOut.map((slot): Missing => ({ kind: 'tool', slot })),
  ]
}

/** Whether a mask has more than one value. */
export const isSeveral = (mask: number): boolean => (mask & (mask - 1)) !== 0
