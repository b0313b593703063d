/** The phone's fold against the vectors; that it is the server's twin is tests/server/procedure/machine/test_fold.py. */
import { describe, expect, it } from 'vitest'
import vectors from '../vectors/fold.json'
import { compare, within } from '@client/procedure/decimals'
import { fold, type LogEntry } from '@client/procedure/fold'
import { machineOf, type MachineSource, openSteps } from '@client/procedure/machine'
import { mayEnd, priceOfReopening, refusal, todoOf } from '@client/procedure/state'

const machine = machineOf(vectors.bundle as unknown as MachineSource)

type RawEntry = Pick<LogEntry, 'id' | 'after' | 'kind' | 'body'> & Partial<Pick<LogEntry, 'standing'>>

function log(name: string): LogEntry[] {
  const found = vectors.cases.find((each) => each.name === name)
  if (!found) throw new Error(`no vector '${name}'`)
  return entriesOf(found.entries as unknown as RawEntry[])
}

const entriesOf = (raw: RawEntry[]): LogEntry[] =>
  raw.map((each) => ({ standing: 'good', person: 'one', device: 'phone', ...each }))

const stepAt = (id: string): number => machine.stepIndex.get(id)!

/** A state in the words of the vectors. */
function spoken(entries: LogEntry[]): Record<string, unknown> {
  const state = fold(machine, entries)
  return {
    conditions: Object.fromEntries(
      machine.conditions.map(({ id, values }, c) => [
        id,
        values.filter((_, v) => (state.conditions[c]! >> v) & 1),
      ]),
    ),
    steps: Object.fromEntries(
      machine.steps.flatMap(({ id, undo }, s) => (undo ? [] : [[id, state.steps[s]]])),
    ),
    exceptions: state.exceptions.map(({ entry, code }) => [entry, code]),
    begun: state.begun.map(({ step }) => machine.steps[step]!.id),
    tools_out: state.toolsOut,
    questions: state.questions.map(({ entry }) => entry),
    closed: state.closed && [state.closed.end, state.closed.changed],
    approved: state.approved,
    heads: state.heads,
  }
}

describe('the fold', () => {
  it.each(vectors.cases.map((each) => [each.name, each] as const))('%s', (_, { entries, expect: wanted }) => {
    expect(spoken(entriesOf(entries as unknown as RawEntry[]))).toMatchObject(wanted)
  })

  it('does not mind the order of arrival', () => {
    const entries = log('two phones: the nut loosened while turning')
    expect(fold(machine, [...entries].reverse())).toEqual(fold(machine, entries))
  })
})

describe('what a state allows', () => {
  it('names the step that comes first', () => {
    const state = fold(
      machine,
      log('nothing is known before the job was opened').concat(log('a straight job').slice(0, 1)),
    )
    expect(refusal(machine, state, stepAt('set'))).toEqual({ why: 'order', step: stepAt('pin_in') })
    expect(refusal(machine, state, stepAt('pin_in'))).toBeNull()
  })

  it('names the need of a way back, its values and who brings it', () => {
    const state = fold(machine, log('a straight job'))
    const pin = machine.conditionIndex.get('pin')!
    expect(refusal(machine, state, stepAt('nut_to_hand'))).toEqual({
      why: 'need',
      condition: pin,
      possible: 1,
      wanted: 2,
      by: [stepAt('pin_in'), stepAt('pin_again')],
    })
    expect(refusal(machine, state, stepAt('turn'))).toEqual({ why: 'done' })
    expect(openSteps(machine, state.conditions, todoOf(state))).toEqual([stepAt('pin_again')])
  })

  it('judges a begun step on what was before it began', () => {
    const entries = log('a begun step makes its values possible')
    const state = fold(machine, entries)
    expect(state.begun[0]!.conditions[machine.conditionIndex.get('pin')!]).toBe(1)
    expect(refusal(machine, state, stepAt('pin_in'))).toBeNull()
  })

  it('lets a house rule speak last', () => {
    const strict = machineOf({
      ...(vectors.bundle as unknown as MachineSource),
      rules: [
        { id: 'turn_loose', kind: 'ask' },
        { id: 'turn_unsure', kind: 'ask' },
      ],
    })
    const turn = strict.steps[stepAt('turn')]!
    const state = fold(strict, log('a straight job').slice(0, 6))
    expect(refusal(strict, state, stepAt('turn'))).toBeNull()
    const never = {
      ...strict,
      steps: strict.steps.map((s) =>
        s === turn ? { ...s, rules: [{ rule: 0, guard: [[0, 0]] as const }] } : s,
      ),
    }
    expect(refusal(never, state, stepAt('turn'))).toMatchObject({
      why: 'rule',
      rule: 0,
      ask: true,
      wanted: 0,
      by: [],
    })
  })

  it('tells the price of reopening', () => {
    const state = fold(machine, log('a straight job'))
    expect(priceOfReopening(machine, state, stepAt('set'))).toEqual([stepAt('set'), stepAt('turn')])
    expect(priceOfReopening(machine, state, stepAt('torque'))).toEqual([stepAt('torque')])
  })

  it('tells what is missing before an end', () => {
    const state = fold(machine, log('a straight job').slice(0, 6))
    expect(mayEnd(machine, state, 'finished').map(({ kind }) => kind)).toEqual([
      'step',
      'condition',
      'condition',
    ])
    expect(mayEnd(machine, fold(machine, log('a straight job')), 'finished')).toEqual([])
  })
})

describe('decimals', () => {
  it('are compared exactly, as text', () => {
    expect(compare('26.50', '26.5')).toBe(0)
    expect(compare('0.1', '0.10000000000000000000001')).toBe(-1)
    expect(compare('-2', '-10')).toBe(1)
    expect(compare('-0.0', '0')).toBe(0)
  })

  it('belong to the window at its limits, and only if they are decimals', () => {
    expect(['25', '27.0', '26,5', '27.01', ''].map((value) => within(value, '25.0', '27'))).toEqual([
      true,
      true,
      false,
      false,
      false,
    ])
  })
})
