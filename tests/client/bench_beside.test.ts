/** What stands beside a procedure that is written: the phone's screen, the way to a finding, its torques. */
import { expect, it } from 'vitest'
import { readSource } from '@client/screens/bench/edits'
import { torquesOf } from '@client/screens/bench/torques'
import { machineOf } from '@client/procedure/machine'
import { previewOf } from '@client/work/preview'
import { before, drawnAlong, valuesOf, walked } from '@client/work/walked'
import { bundle } from './baywork'

const machine = machineOf(bundle)
const at = (id: string) => bundle.steps.findIndex((step) => step.id === id)
const straight = bundle.steps.filter(({ must }) => must).map(({ id }) => id)

it('walks by what each step leaves, and leaves open what an interruption does', () => {
  const states = walked(machine, straight)
  expect(states).toHaveLength(straight.length + 1)
  straight.forEach((id, nth) => {
    for (const [condition, value] of machine.steps[at(id)]!.effect)
      expect(states[nth + 1]![condition]).toBe(1 << value)
  })
  const first = machine.steps[at(straight[0]!)]!
  const [, cut] = walked(machine, [`${first.id}: interrupted`])
  for (const [condition, mask] of first.on_the_way)
    expect(cut![condition]! & (mask | states[0]![condition]!)).toBe(mask | states[0]![condition]!)
})

it('takes a failure for what it leaves, and a deed that is none for nothing', () => {
  const [start, after] = walked(machine, ['turn: pointer_out'])
  const failure = machine.steps[at('turn')]!.fails.find(({ id }) => id === 'pointer_out')!
  expect(failure.effect.length).toBeGreaterThan(0)
  for (const [condition, value] of failure.effect) expect(after![condition]! & (1 << value)).toBeTruthy()
  expect(walked(machine, ['no_such_step'])[1]).toEqual(start)
})

it('shows each step as the straight job finds it, and a way back where it may be gone', () => {
  const states = walked(machine, straight)
  expect(straight.map((id) => before(machine, at(id)))).toEqual(states.slice(0, -1))
  const undo = bundle.steps.findIndex((step) => step.undo)
  const found = before(machine, undo)
  for (const [condition, mask] of machine.steps[undo]!.guard) expect(found[condition]! & ~mask).toBe(0)
})

it('names the values of each state along a way', () => {
  const drawn = drawnAlong(bundle, straight.slice(0, 1))
  expect(drawn).toHaveLength(2)
  expect(drawn[0]).toEqual(valuesOf(machine, walked(machine, [])[0]!))
  for (const values of Object.values(drawn[1]!)) expect(values.length).toBeGreaterThan(0)
})

it('previews a step with nothing given, and the next two of the straight job', () => {
  const { asked, now, rule } = previewOf(bundle, at('turn'))
  expect([asked.step.id, asked.open, asked.seal]).toEqual(['turn', true, 'todo'])
  expect(asked.proofs.every(({ entry }) => entry === null)).toBe(true)
  const next = now.plan.map((item) => (item.kind === 'step' ? item.step.step : null))
  expect(next.length).toBeLessThanOrEqual(2)
  expect(next.every((step) => step !== null && !step.undo)).toBe(true)
  expect(rule.now).toBe(bundle.steps.filter(({ undo }) => !undo).findIndex(({ id }) => id === 'turn'))
  const undo = bundle.steps.findIndex((step) => step.undo)
  expect(previewOf(bundle, undo).rule.now).toBeNull()
})

const WRENCHES = [
  { slot: 'small', label: 'small wrench', outline: 'torque_wrench', low: '5', high: '25', unit: 'N·m' },
  { slot: 'middle', label: 'middle wrench', outline: 'torque_wrench', low: '10', high: '100', unit: 'N·m' },
  { slot: 'large', label: 'large wrench', outline: 'torque_wrench', low: '20', high: '140', unit: 'N·m' },
  { slot: 'key', label: 'key', outline: 'key' },
] as const

it('holds torques against the wrenches that read them, a fifth of the scale at least', () => {
  const document = readSource('steps:\n  - [pin_in]\n  - step: torque\n    torque: {nm: 26}\n')!
  // A torque tool is checked from a fifth of its scale on: ISO 6789-1:2017, from memory.
  const [row] = torquesOf({ ...bundle, tools: WRENCHES }, document)
  expect(row).toMatchObject({
    id: 'torque',
    nm: '26',
    wrenches: ['middle wrench'],
    at: ['steps', 1, 'torque'],
  })
})

it('has the torques that a block brings, too, with no place to type them', () => {
  const [row] = torquesOf({ ...bundle, tools: [] }, readSource('steps:\n  - [torque]\n')!)
  expect(row).toMatchObject({ id: 'torque', wrenches: [], at: null })
})
