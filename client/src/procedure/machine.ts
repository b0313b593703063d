/**
 * The machine a bundle carries, ready to run: conditions, values and steps are indices, a *mask* is a bit set of
 * value indices. Its form is formats.md, section 6. Rule for rule as `server/twoturns/procedure/machine/machine.py`.
 */

import type { MachineCondition, MachineEnd, MachineForm, MachineStep, Use } from './shape'

export type { MachineEnd, MachineForm, MachineProof, ProofKind, Use as Part } from './shape'

export type Pair = readonly [number, number]
export type Pairs = readonly Pair[]

/** What of a bundle the machine is read from. */
export interface MachineSource {
  machine: MachineForm
  rules: readonly { id: string; kind: 'stop' | 'ask' }[]
  steps?: readonly { id: string; uses?: readonly Use[]; permit?: string }[]
}

export interface Step extends MachineStep {
  /** What it leaves that can be lost again: all but proofs at *unproved*. */
  made: Pairs
  /** The must-steps listed before it, those of its `together` left out; none for an undo step, which has no place. */
  before: readonly number[]
  /** The single-use parts that it fits. */
  uses: readonly Use[]
  permit: string | undefined
}

/** The note with which somebody without its permit goes on at a step says why, under this name. */
export const permitNote = (permit: string): string => `permit_${permit}`.slice(0, 32)

/** A bundle's machine with what every reader of it needs to look up. */
export interface Machine {
  conditions: readonly MachineCondition[]
  steps: readonly Step[]
  /** For each condition the proofs it rests on. */
  rests: ReadonlyMap<number, readonly number[]>
  /** For each condition the values that must-steps leave, with those steps. */
  makersOf: ReadonlyMap<number, readonly (readonly [number, readonly number[]])[]>
  ends: readonly MachineEnd[]
  rules: readonly { id: string; ask: boolean }[]
  conditionIndex: ReadonlyMap<string, number>
  stepIndex: ReadonlyMap<string, number>
}

/** Reads the machine of a bundle that the workshop has published, and so has checked. */
export function machineOf({ machine: flat, rules, steps = [] }: MachineSource): Machine {
  const makersOf = new Map<number, [number, readonly number[]][]>()
  for (const [condition, value, by] of flat.makers) {
    makersOf.set(condition, [...(makersOf.get(condition) ?? []), [value, by]])
  }
  const told = new Map(steps.map((step) => [step.id, step]))
  return {
    conditions: flat.conditions,
    steps: flat.steps.map((step, at) => ({
      ...step,
      made: step.effect.filter(([c, v]) => v !== 0 || !flat.conditions[c]!.proof),
      before: mustBefore(flat.steps, at),
      uses: told.get(step.id)?.uses ?? [],
      permit: told.get(step.id)?.permit,
    })),
    rests: new Map(flat.rests),
    makersOf,
    ends: flat.ends,
    rules: rules.map(({ id, kind }) => ({ id, ask: kind === 'ask' })),
    conditionIndex: new Map(flat.conditions.map(({ id }, at) => [id, at])),
    stepIndex: new Map(flat.steps.map(({ id }, at) => [id, at])),
  }
}

function mustBefore(steps: readonly MachineStep[], at: number): number[] {
  const { together, undo } = steps[at]!
  if (undo) return []
  const earlier = [...steps.keys()].slice(0, at)
  return earlier.filter((e) => steps[e]!.must && (together === null || steps[e]!.together !== together))
}

/** Every value possible. */
export const everyValue = (condition: MachineCondition): number => (1 << condition.values.length) - 1

/** An end by its name. */
export function endOf(machine: Machine, id: string): MachineEnd {
  const end = machine.ends.find((each) => each.id === id)
  if (!end) throw new Error(`the bundle has no end '${id}'`)
  return end
}

/** The order in which equals are offered: as listed, undo steps after the others. */
export function byRank(machine: Machine, a: number, b: number): number {
  return Number(machine.steps[a]!.undo) - Number(machine.steps[b]!.undo) || a - b
}

/** The steps that leave a condition at one of these values; undo steps last. */
export function bringers(machine: Machine, condition: number, mask: number): number[] {
  return [...machine.steps.keys()]
    .filter((at) => machine.steps[at]!.effect.some(([c, v]) => c === condition && (mask >> v) & 1))
    .sort((a, b) => byRank(machine, a, b))
}

// What a state of conditions allows. `conditions` holds one mask of possible values for each.

/** Whether every possible value of each condition named is inside its mask. */
export function holds(pairs: Pairs, conditions: readonly number[]): boolean {
  return pairs.every(([condition, mask]) => (conditions[condition]! & ~mask) === 0)
}

/**
 * Whether the order of work lets a step be begun. House rules are asked apart.
 * An undo step: its needs hold, its moves are legal, and it would change something. Any other: it is todo,
 * no must-step listed before it is, its needs hold and its moves are legal. A step that is no must may also be done
 * again when it would change something.
 */
export function isOpen(
  machine: Machine,
  conditions: readonly number[],
  todo: ReadonlySet<number>,
  step: number,
): boolean {
  const it = machine.steps[step]!
  if (!holds(it.guard, conditions) || !holds(it.moves, conditions)) return false
  const changes = it.effect.some(([condition, value]) => conditions[condition] !== 1 << value)
  const isWanted = it.undo ? changes : todo.has(step) || (changes && !it.must)
  return isWanted && !it.before.some((earlier) => todo.has(earlier))
}

/** The steps that may be begun, in the order of `byRank`. */
export function openSteps(
  machine: Machine,
  conditions: readonly number[],
  todo: ReadonlySet<number>,
): number[] {
  return [...machine.steps.keys()]
    .filter((at) => isOpen(machine, conditions, todo, at))
    .sort((a, b) => byRank(machine, a, b))
}
