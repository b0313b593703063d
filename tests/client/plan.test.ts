/** The phone's plan against the vectors; that it is the server's twin is tests/server/procedure/machine/test_plan.py. */
import { describe, expect, it } from 'vitest'
import vectors from '../vectors/plan.json'
import { fold, type LogEntry } from '@client/procedure/fold'
import { type Machine, machineOf, type MachineSource } from '@client/procedure/machine'
import { gapHelps, plan, type PlanItem } from '@client/procedure/plan'
import { type StepStatus, todoOf } from '@client/procedure/state'

const source = vectors.bundle as unknown as MachineSource
const machine = machineOf(source)

/** An item in the words of the vectors. */
function words({ conditions, steps }: Machine, item: PlanItem): string {
  if (item.kind === 'look') return `look ${conditions[item.condition]!.id}`
  const { why } = item
  const said = [steps[item.step]!.id, why.kind]
  const parts = item.parts.flatMap(({ part, count }) => ['with', String(count), part])
  if (why.kind === 'todo') return [...said, ...parts].join(' ')
  if (why.condition !== null) said.push(conditions[why.condition]!.id)
  if ('step' in why && why.step !== null) said.push(why.kind === 'redo' ? 'by' : 'for', steps[why.step]!.id)
  if ('entry' in why && why.entry !== null) said.push(`by entry ${why.entry}`)
  return [...said, ...parts].join(' ')
}

describe('the plan', () => {
  it.each(vectors.cases.map((each) => [each.name, each] as const))(
    '%s',
    (_, { entries, end, expect: wanted }) => {
      const log = entries.map((each) => ({
        standing: 'good',
        person: 'one',
        device: 'phone',
        ...each,
      })) as unknown as LogEntry[]
      const state = fold(machine, log)
      const { items, blocked } = plan(machine, state.conditions, todoOf(state), {
        end,
        lost: state.lost,
        tried: state.tried,
      })
      expect(items.map((item) => words(machine, item))).toEqual(wanted.items)
      expect(blocked).toEqual(wanted.blocked)
    },
  )

  it('says so when it gives up', () => {
    const start = machine.conditions.map((each) => 1 << each.start)
    const { items, blocked } = plan(machine, start, new Set(machine.steps.keys()), { limit: 2 })
    expect(items).toEqual([])
    expect(blocked).toMatchObject({ why: 'too-long', step: 0 })
  })

  it('names the first step and what it needs where there is no way', () => {
    const steps = source.machine.steps.filter(({ undo }) => !undo)
    const stuck = machineOf({ ...source, machine: { ...source.machine, steps } })
    const [set, turn] = ['set', 'turn'].map((id) => stuck.stepIndex.get(id)!)
    const { items, blocked } = plan(stuck, [2, 1, 1, 1], new Set([set!, turn!]))
    expect(items).toEqual([])
    expect(blocked).toMatchObject({
      why: 'no-way',
      step: set,
      refusal: { why: 'move', possible: 1, wanted: 6 },
    })
  })

  it('refuses an end that the bundle does not have', () => {
    expect(() => plan(machine, [1, 1, 1, 1], new Set(), { end: 'sold' })).toThrow("no end 'sold'")
  })
})

describe('a gap', () => {
  // Tightened, and nobody proved the torque; the two turns are to do.
  const at = (id: string) => machine.stepIndex.get(id)!
  const steps = machine.steps.map(({ id }): StepStatus => (['torque', 'turn'].includes(id) ? 'todo' : 'done'))
  const state = { conditions: [2, 1, 2, 1], steps }

  it('helps where nothing asks for what the step proves', () => {
    expect(gapHelps(machine, state, at('torque'))).toBe(true)
  })
  it('does not help where the end asks for it', () => {
    expect(gapHelps(machine, state, at('turn'))).toBe(false)
  })
  it('does not help a step that is done, nor an end that asks for no step', () => {
    expect(gapHelps(machine, state, at('set'))).toBe(false)
    expect(gapHelps(machine, state, at('torque'), 'recovered')).toBe(false)
  })
})
