/**
 * The engine along a way that a check names: `step`, `step: failure`, `step: passed`, `step: interrupted`. Pure.
 *
 * What a failure or an interruption leaves open stays open here: a condition then has several possible values, and is
 * drawn as unknown.
 */
import type { Bundle } from '../procedure/bundle'
import { holds, machineOf, type Machine, type Pairs } from '../procedure/machine'

/** For each condition a mask of its possible values. */
export type Masks = readonly number[]

const starts = ({ conditions }: Machine): Masks => conditions.map(({ start }) => 1 << start)

const setTo = (masks: Masks, pairs: Pairs): number[] => {
  const after = [...masks]
  for (const [condition, value] of pairs) after[condition] = 1 << value
  return after
}

const opened = (masks: Masks, pairs: Pairs): number[] => {
  const after = [...masks]
  for (const [condition, mask] of pairs) after[condition] = after[condition]! | mask
  return after
}

function after(machine: Machine, masks: Masks, deed: string): Masks {
  const [id = '', how] = deed.split(': ')
  const step = machine.steps[machine.stepIndex.get(id) ?? -1]
  if (!step) return masks
  if (how === 'interrupted') return opened(masks, step.on_the_way)
  const failure = step.fails.find((each) => each.id === how)
  if (!failure) return setTo(masks, step.effect)
  const open = step.on_the_way.filter(([condition]) => failure.look.includes(condition))
  return opened(setTo(masks, failure.effect), open)
}

/** The engine at the start, and after each deed. */
export function walked(machine: Machine, way: readonly string[]): Masks[] {
  const states = [starts(machine)]
  for (const deed of way) states.push(after(machine, states.at(-1)!, deed))
  return states
}

/** The engine as a step of the straight job finds it; for a way back, the first time that what it asks for is so. */
export function before(machine: Machine, index: number): Masks {
  const step = machine.steps[index]!
  const straight = machine.steps.filter(({ must }) => must).map(({ id }) => id)
  const states = walked(machine, straight)
  if (!step.undo) return states[straight.indexOf(step.id)] ?? states.at(-1)!
  return states.find((state) => holds(step.guard, state)) ?? states.at(-1)!
}

/** The possible values of each condition, by name. */
export const valuesOf = ({ conditions }: Machine, masks: Masks): Record<string, string[]> =>
  Object.fromEntries(
    conditions.map(({ id, values }, at) => [id, values.filter((_, value) => (masks[at]! >> value) & 1)]),
  )

/** The drive's conditions after each deed of a way, as its drawing takes them. */
export function drawnAlong(bundle: Bundle, way: readonly string[]): Record<string, string[]>[] {
  const machine = machineOf(bundle)
  return walked(machine, way).map((masks) => valuesOf(machine, masks))
}
