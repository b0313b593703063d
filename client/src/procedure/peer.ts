/** What the differential tests call in this room. Names of fields are the server's. */
import type { PeerFunctions } from '../peer'
import { compare, within } from './decimals'
import { readBundle } from './bundle'
import { type Fold, fold, foldOn, type LogEntry } from './fold'
import { machineOf, type MachineSource, openSteps } from './machine'
import { gapHelps, plan, type Plan } from './plan'
import { type JobState, type Loss, mayEnd, priceOfReopening, refusal, todoOf } from './state'

function stateJson({ doneBy, toolsOut, ...rest }: JobState): object {
  return { ...rest, done_by: doneBy, tools_out: toolsOut }
}

/** A log's state, and what it allows at every step and end. */
function verdicts(source: MachineSource, entries: LogEntry[]): object {
  const machine = machineOf(source)
  const state = fold(machine, entries)
  const steps = [...machine.steps.keys()]
  return {
    state: stateJson(state),
    open: openSteps(machine, state.conditions, todoOf(state)),
    refusals: steps.map((step) => refusal(machine, state, step)),
    prices: steps.map((step) => priceOfReopening(machine, state, step)),
    missing: machine.ends.map(({ id }) => mayEnd(machine, state, id)),
  }
}

/**
 * The state after each arrival, gone on with from the one before; and at how many arrivals it needed no fold anew. What
 * arrives again stands otherwise now.
 */
function foldsOn(source: MachineSource, arrivals: LogEntry[][]): { states: object[]; gone: number } {
  const machine = machineOf(source)
  const [states, log]: [object[], Map<string, LogEntry>] = [[], new Map()]
  let [before, gone]: [Fold | null, number] = [null, 0]
  for (const arrived of arrivals) {
    if (arrived.reduce((fold: Fold | null, entry) => fold?.followedBy(entry) ?? null, before)) gone += 1
    for (const entry of arrived) log.set(entry.id, entry)
    before = foldOn(before, machine, [...log.values()])
    states.push(stateJson(before.state))
  }
  return { states, gone }
}

/** Milliseconds of one fold and of parsing the same log, for the bench. */
function timeFold(source: MachineSource, text: string, times: number): { fold: number; parse: number } {
  const machine = machineOf(source)
  const entries = JSON.parse(text) as LogEntry[]
  const measure = (run: () => unknown): number => {
    for (let n = 0; n < times; n++) run()
    const from = performance.now()
    for (let n = 0; n < times; n++) run()
    return (performance.now() - from) / times
  }
  return { fold: measure(() => fold(machine, entries)), parse: measure(() => JSON.parse(text)) }
}

function planFrom(
  source: MachineSource,
  conditions: number[],
  todo: number[],
  end: string,
  lost: (Loss | null)[],
  tried: boolean[],
  limit: number,
): Plan {
  return plan(machineOf(source), conditions, new Set(todo), { end, lost, tried, limit })
}

/** For each step whether a gap at it helps. */
function gaps(source: MachineSource, conditions: number[], todo: number[], end: string): boolean[] {
  const machine = machineOf(source)
  const steps = machine.steps.map((_, at) => (todo.includes(at) ? 'todo' : 'done'))
  return steps.map((_, at) => gapHelps(machine, { conditions, steps }, at, end))
}

export const peerFunctions: PeerFunctions = {
  knowsBundle: (text: string) => readBundle(text) !== null,
  plan: planFrom,
  gaps,
  compare,
  within: (value: string, low: string | null, high: string | null) =>
    within(value, low ?? undefined, high ?? undefined),
  verdicts,
  foldsOn,
  timeFold,
}
