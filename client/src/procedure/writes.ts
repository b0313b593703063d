/**
 * What the entries of a log write to the conditions, and which values that leaves possible.
 *
 * A *setting write* replaces what its past wrote. An *adder* adds possible values until a good setting write of the
 * condition has it in its past; every write of an entry that is not of good standing is an adder.
 */
import { add, type Bits, has, meet, meet3, noBits } from './bits'
import type { History, LogEntry } from './log'
import { everyValue, type Machine, type Pair, type Pairs } from './machine'

const stepOf = (machine: Machine, entry: LogEntry) =>
  machine.steps[machine.stepIndex.get(String(entry.body['step'])) ?? -1]

/** The values that an entry leaves; a done step claims its proofs with them. */
function settingsOf(machine: Machine, entry: LogEntry): Pairs {
  if (entry.kind === 'job.opened') {
    return machine.conditions.map(({ proof, start }, c): Pair => [c, proof ? 0 : start])
  }
  if (entry.kind === 'condition.seen') return seen(machine, entry)
  const step = stepOf(machine, entry)
  if (!step) return []
  if (entry.kind === 'step.done') return step.effect
  if (entry.kind === 'step.reopened') return step.reopen
  if (entry.kind !== 'step.failed') return []
  const failure = step.fails.find(({ id }) => id === entry.body['failure'])
  if (failure) return failure.effect
  // A failure that the bundle does not know: its proofs fall, all else is to be looked at.
  const touched = new Set([...step.effect, ...step.on_the_way, ...step.reopen].map(([c]) => c))
  return [...touched]
    .filter((c) => machine.conditions[c]!.proof)
    .sort((a, b) => a - b)
    .map((c): Pair => [c, 0])
}

/** Only how the engine is can be seen; a proof is made. */
function seen(machine: Machine, entry: LogEntry): Pairs {
  const c = machine.conditionIndex.get(String(entry.body['condition']))
  if (c === undefined || machine.conditions[c]!.proof) return []
  const value = machine.conditions[c]!.values.indexOf(entry.body['value'] as string)
  return value < 0 ? [] : [[c, value]]
}

/** The masks of values that an entry makes possible, besides those it leaves. */
function addersOf(machine: Machine, entry: LogEntry): Pairs {
  const step = stepOf(machine, entry)
  if (!step) return []
  if (entry.kind === 'step.begun') return step.on_the_way
  if (entry.kind !== 'step.failed') return []
  const failure = step.fails.find(({ id }) => id === entry.body['failure'])
  if (failure) return step.on_the_way.filter(([c]) => failure.look.includes(c))
  return step.on_the_way.filter(([c]) => !machine.conditions[c]!.proof)
}

/** Every write of a log, by condition. */
export class Writes {
  readonly settingsBy: readonly Pairs[]
  readonly addersBy: readonly Pairs[]
  /** For each condition the entries that write it, and what. */
  readonly of: readonly (readonly [number, number])[][]
  readonly settings: readonly Bits[]
  readonly goodSettings: readonly Bits[]
  private readonly opened: Bits
  private readonly contraries = new Map<number, Bits>()

  constructor(
    private readonly machine: Machine,
    private readonly history: History,
  ) {
    const { entries } = history
    this.settingsBy = entries.map((entry) => settingsOf(machine, entry))
    this.addersBy = entries.map((entry) => addersOf(machine, entry))
    const of = machine.conditions.map((): [number, number][] => [])
    this.of = of
    this.settings = machine.conditions.map(() => noBits(entries.length))
    this.goodSettings = machine.conditions.map(() => noBits(entries.length))
    this.opened = noBits(entries.length)
    entries.forEach((entry, at) => {
      if (entry.kind === 'job.opened') add(this.opened, at)
      for (const [c, value] of this.settingsBy[at]!) {
        of[c]!.push([at, 1 << value])
        add(this.settings[c]!, at)
        if (entry.standing === 'good') add(this.goodSettings[c]!, at)
      }
      for (const [c, mask] of this.addersBy[at]!) of[c]!.push([at, mask])
    })
  }

  /**
   * The possible values of an engine condition, judged by these entries alone.
   * Where the beginning is missing and nothing good was written since, any value is possible.
   */
  possible(condition: number, among: Bits): number {
    const good = this.goodSettings[condition]!
    if (!meet(good, among) && !meet(this.opened, among))
      return everyValue(this.machine.conditions[condition]!)
    return this.live(condition, among, among)
  }

  /** The values that good setting writes leave, without what may be on the way. */
  left(condition: number, among: Bits): number {
    return this.live(condition, this.goodSettings[condition]!, among)
  }

  private live(condition: number, which: Bits, among: Bits): number {
    const good = this.goodSettings[condition]!
    let mask = 0
    for (const [at, written] of this.of[condition]!) {
      if (has(which, at) && has(among, at) && !meet3(good, among, this.history.future[at]!)) mask |= written
    }
    return mask
  }

  /** The good beginnings of these entries that may have brought a value. */
  onTheWay(condition: number, value: number, among: Bits): number[] {
    const good = this.goodSettings[condition]!
    return this.of[condition]!.flatMap(([at, written]) => {
      const { kind, standing } = this.history.entries[at]!
      const isOne = kind === 'step.begun' && standing === 'good' && (written >> value) & 1 && has(among, at)
      return isOne && !meet3(good, among, this.history.future[at]!) ? [at] : []
    })
  }

  /** The entries that write a condition any value outside a mask. */
  contrary(condition: number, allowed: number): Bits {
    const key = condition * 2 ** 31 + (allowed >>> 0)
    const known = this.contraries.get(key)
    if (known) return known
    const found = noBits(this.history.entries.length)
    for (const [at, written] of this.of[condition]!) if (written & ~allowed) add(found, at)
    this.contraries.set(key, found)
    return found
  }
}
