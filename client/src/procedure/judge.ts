/**
 * What the entries of a log take away, and which of its done steps count: the fold's judgement.
 *
 * An entry is judged by what it had seen, its past; what it had not seen and what had not seen it is *beside* it.
 * `View` says what any set of entries says; `Judgement.valid` what counts in it.
 */
import {
  add,
  addAll,
  and,
  type Bits,
  copied,
  has,
  isEmpty,
  less,
  meet,
  meetBut,
  members,
  noBits,
  or,
} from './bits'
import { Evidence, type Named } from './evidence'
import type { History, LogEntry } from './log'
import type { Machine } from './machine'
import type { StepStatus } from './state'
import { Writes } from './writes'

/** A `step.done` of good standing, judged by what was before it. */
export interface Done {
  at: number
  step: number
  inOrder: boolean
  /** A must-step listed before it was todo. */
  early: boolean
  broken: number[]
  asked: number[]
  named: Named
  /** What it names was never corrected: then it fits or does not, whatever else is known. */
  isPlain: boolean
  /** Entries beside it that its place in the order cannot bear; null if nothing is beside it. */
  contrary: Bits | null
  /** For each proof it needs, the done entries that proved it. */
  supports: Bits[]
}

const counts = ({ inOrder, broken, named }: Done): boolean =>
  inOrder && broken.length === 0 && named.every(([, entries]) => entries.length > 0)

/** What a set of entries says, as if there were no others. */
export class View {
  readonly valid: Bits
  private readonly known = new Map<number, number>()

  constructor(
    private readonly of: Judgement,
    readonly among: Bits,
  ) {
    this.valid = of.valid(among)
  }

  /** The possible values of a condition. */
  condition(c: number): number {
    const known = this.known.get(c)
    if (known !== undefined) return known
    const { machine, writes } = this.of
    const mask = machine.conditions[c]!.proof ? this.proof(c) : writes.possible(c, this.among)
    this.known.set(c, mask)
    return mask
  }

  conditions(): number[] {
    return this.of.machine.conditions.map((_, c) => this.condition(c))
  }

  private proof(c: number): number {
    const { machine } = this.of
    let mask = 0
    for (let value = 1; value < machine.conditions[c]!.values.length; value++) {
      if (!isEmpty(this.support(c, 1 << value))) mask |= 1 << value
    }
    const rests = machine.rests.get(c) ?? []
    return mask && rests.every((r) => !(this.condition(r) & 1)) ? mask : 1
  }

  /** The done entries that prove one of these values, each on its own. */
  support(c: number, wanted: number): Bits {
    const { claims, writes, history, proving } = this.of
    const found = noBits(history.entries.length)
    for (const [at, value] of claims[c]!) {
      if (!has(this.valid, at) || !has(proving, at) || !((wanted >> value) & 1)) continue
      if (!meetBut(writes.contrary(c, 1 << value), this.among, history.past[at]!)) add(found, at)
    }
    return found
  }

  /** How a step stands, and the entries that make it so. */
  step(s: number): [StepStatus, number[]] {
    const { machine, doings, gaps, resets, history, proving } = this.of
    if (machine.steps[s]!.undo) return ['todo', []]
    const standing = doings[s]!.filter(
      (at) =>
        has(this.among, at) &&
        (has(this.valid, at) || has(gaps[s]!, at)) &&
        !meetBut(resets[s]!, this.among, history.past[at]!),
    )
    const done = standing.filter((at) => has(proving, at))
    if (done.length > 0) return ['done', done]
    return standing.length > 0 ? ['waived', standing] : ['todo', []]
  }
}

/** What one log's entries take away and prove. Each entry is judged by its past alone. */
export class Judgement {
  readonly writes: Writes
  readonly evidence: Evidence
  readonly stepOf: (number | null)[]
  readonly begun: Bits[]
  readonly dones: Bits[]
  readonly gaps: Bits[]
  /** The dones and gaps of each step as they stand in the log: quicker to go through than their bits. */
  readonly doings: number[][]
  readonly failed: Bits[]
  readonly reopened: Bits[]
  /** For each proof the good done entries that claim a value of it. */
  readonly claims: [number, number][][]
  readonly resets: Bits[]
  readonly causes: Map<number, number | null>[]
  readonly judged: Map<number, Done>
  private readonly spoilers: Bits[]
  /** Done entries that count, if nothing beside them is in the way. */
  private readonly counting: Bits
  /** Those of them that passed no rule that asks. */
  readonly proving: Bits

  /** @param before the judgement of the same log without its last entries, each of which has seen all before it */
  constructor(
    readonly machine: Machine,
    readonly history: History,
    before: Judgement | null = null,
  ) {
    const size = history.entries.length
    const each = (of: readonly Bits[] | undefined) =>
      machine.steps.map((_, s) => (of ? copied(of[s]!, size) : noBits(size)))
    this.writes = new Writes(machine, history)
    this.evidence = new Evidence(history)
    this.stepOf = history.entries.map(({ body }) => machine.stepIndex.get(String(body['step'])) ?? null)
    ;[this.begun, this.dones, this.gaps] = [each(before?.begun), each(before?.dones), each(before?.gaps)]
    ;[this.failed, this.reopened] = [each(before?.failed), each(before?.reopened)]
    this.doings = machine.steps.map((_, s) => [...(before?.doings[s] ?? [])])
    this.claims = machine.conditions.map((_, c) => [...(before?.claims[c] ?? [])])
    const news = [...history.entries.keys()].slice(before?.history.entries.length)
    for (const at of news) this.sort(at)
    this.spoilers = machine.steps.map((_, s) => this.spoilersOf(s))
    this.resets = each(before?.resets)
    this.causes = machine.steps.map((_, s) => new Map(before?.causes[s]))
    this.judged = new Map(before?.judged)
    this.counting = copied(before?.counting ?? noBits(0), size)
    this.proving = copied(before?.proving ?? noBits(0), size)
    for (const at of news) {
      this.lose(at)
      const step = this.stepOf[at]!
      if (step !== null && has(this.dones[step]!, at)) this.judge(at, step)
    }
  }

  /** Finds the entries of each step by kind. What is not of good standing proves nothing. */
  private sort(at: number): void {
    const { kind, standing } = this.history.entries[at]!
    const step = this.stepOf[at]!
    if (step === null) return
    const good = standing === 'good'
    if (kind === 'step.begun') add(this.begun[step]!, at)
    else if (kind === 'step.failed') add(this.failed[step]!, at)
    else if (kind === 'step.reopened') add(this.reopened[step]!, at)
    else if (kind === 'review.gap' && good) {
      add(this.gaps[step]!, at)
      this.doings[step]!.push(at)
    } else if (kind === 'step.done' && good) {
      add(this.dones[step]!, at)
      this.doings[step]!.push(at)
      for (const [c, value] of this.machine.steps[step]!.effect) {
        if (value && this.machine.conditions[c]!.proof) this.claims[c]!.push([at, value])
      }
    }
  }

  // What an entry takes away.

  /** The entries that may take away what a step leaves, whatever was before them. */
  private spoilersOf(s: number): Bits {
    const found = or(this.failed[s]!, this.reopened[s]!)
    for (const [c, value] of this.machine.steps[s]!.made) {
      const contrary = this.writes.contrary(c, 1 << value)
      if (this.machine.conditions[c]!.proof) {
        addAll(found, less(contrary, this.begun[s]!))
      } else {
        for (const at of members(and(contrary, this.writes.settings[c]!))) {
          if (this.reaches(at, s)) add(found, at)
        }
      }
    }
    return found
  }

  /** An ordinary step done takes from the engine only what steps listed after it left. */
  private reaches(at: number, s: number): boolean {
    const by = this.stepOf[at]!
    if (by === null || this.history.entries[at]!.kind !== 'step.done') return true
    return this.machine.steps[by]!.undo || s > by
  }

  /** The entries a step is judged by: its past, its own beginnings left out. */
  private before(at: number): Bits {
    const { kind } = this.history.entries[at]!
    const step = this.stepOf[at]!
    const past = this.history.past[at]!
    return step === null || (kind !== 'step.done' && kind !== 'step.failed')
      ? past
      : less(past, this.begun[step]!)
  }

  /** Resets the makers of what an entry takes away. */
  private lose(at: number): void {
    const before = this.before(at)
    const { conditions } = this.machine
    for (const [c, value] of this.writes.settingsBy[at]!) {
      if (conditions[c]!.proof) {
        this.reset(at, c, ~(1 << value), 0)
        continue
      }
      const left = this.writes.left(c, before)
      const isFound = this.history.entries[at]!.kind === 'condition.seen' && !((left >> value) & 1)
      this.reset(at, c, left & ~(1 << value), isFound ? this.begunWith(c, value, before) : 0)
    }
    for (const [c, mask] of this.writes.addersBy[at]!) {
      if (conditions[c]!.proof) this.reset(at, c, ~mask, 0)
    }
    const step = this.stepOf[at]!
    if (step !== null && (has(this.failed[step]!, at) || has(this.reopened[step]!, at)))
      this.resetOne(at, step, null)
  }

  /**
   * The first step that a look at this value can be the work of: begun, and not settled. Then what is listed before it
   * stays done, as if it were done itself. 0 where no begun step explains the value, or a way back does, which has no
   * place in the order.
   */
  private begunWith(c: number, value: number, before: Bits): number {
    const { dones, failed, history, machine } = this
    const begun = this.writes.onTheWay(c, value, before).flatMap((at) => {
      const s = this.stepOf[at]!
      const future = and(history.future[at]!, before)
      return s === null || meet(future, dones[s]!) || meet(future, failed[s]!) ? [] : [s]
    })
    return begun.length === 0 || begun.some((s) => machine.steps[s]!.undo) ? 0 : Math.min(...begun)
  }

  /** Resets the makers of values that were taken, of the engine those from a step on. */
  private reset(at: number, c: number, taken: number, since: number): void {
    const { proof } = this.machine.conditions[c]!
    for (const [value, makers] of this.machine.makersOf.get(c) ?? []) {
      if (!((taken >> value) & 1)) continue
      for (const s of makers) if (proof || (s >= since && this.reaches(at, s))) this.resetOne(at, s, c)
    }
  }

  private resetOne(at: number, s: number, c: number | null): void {
    add(this.resets[s]!, at)
    if (!this.causes[s]!.has(at)) this.causes[s]!.set(at, c)
  }

  // Whether a done step counts.

  private judge(at: number, s: number): void {
    const before = this.before(at)
    const view = new View(this, before)
    const step = this.machine.steps[s]!
    const needs = [...step.guard, ...step.moves]
    const beside = this.history.beside(at)
    const named = this.evidence.named(at, step, this.spoilers[s]!)
    const done: Done = {
      at,
      step: s,
      inOrder: needs.every(([c, mask]) => !(view.condition(c) & ~mask)),
      early: step.before.some((earlier) => view.step(earlier)[0] === 'todo'),
      ...this.askRules(at, s, view),
      named,
      isPlain: this.evidence.isPlain(named),
      supports: needs
        .filter(([c, mask]) => this.machine.conditions[c]!.proof && !(mask & 1))
        .map(([c, mask]) => view.support(c, mask)),
      contrary: isEmpty(beside) ? null : and(this.contraryTo(s), beside),
    }
    this.judged.set(at, done)
    if (!counts(done) || (done.isPlain && !this.evidence.holds(named, before))) return
    add(this.counting, at)
    if (passedBy(this.history.entries[at]!).length === 0) add(this.proving, at)
  }

  private askRules(at: number, s: number, view: View): { broken: number[]; asked: number[] } {
    const passed = passedBy(this.history.entries[at]!)
    const [broken, asked]: [number[], number[]] = [[], []]
    for (const { rule, guard } of this.machine.steps[s]!.rules) {
      const { id, ask } = this.machine.rules[rule]!
      if (ask && passed.includes(id)) asked.push(rule)
      else if (guard.some(([c, mask]) => view.condition(c) & ~mask)) broken.push(rule)
    }
    return { broken, asked }
  }

  /** The entries that, if they came between, would put a step out of order. */
  private contraryTo(s: number): Bits {
    const step = this.machine.steps[s]!
    const found = this.spoilers[s]!.slice()
    for (const [c, mask] of [...step.guard, ...step.moves]) {
      addAll(found, less(this.writes.contrary(c, mask), this.begun[s]!))
    }
    return found
  }

  /**
   * The done entries that were in order, in whatever order these entries happened.
   *
   * Nothing beside one may be contrary to it, but the same step done by two who did not know of each other: then one of
   * the two came first, and was in order. And the proofs it needed must themselves have been in order. What is left
   * when all others are struck off is valid.
   */
  valid(among: Bits): Bits {
    let valid = and(this.counting, among)
    for (;;) {
      const out = noBits(this.history.entries.length)
      for (const done of this.judged.values()) {
        if (has(valid, done.at) && !this.bears(done, valid, among)) add(out, done.at)
      }
      if (isEmpty(out)) return valid
      valid = less(valid, out)
    }
  }

  private bears(done: Done, valid: Bits, among: Bits): boolean {
    return (
      (done.contrary === null || !meetBut(done.contrary, among, this.twins(done.step, valid))) &&
      done.supports.every((proved) => meet(proved, valid)) &&
      (done.isPlain || this.evidence.holds(done.named, among))
    )
  }

  /**
   * The valid doings of a step that proved what it proves, and that another may rely on. None where what it proves falls
   * on its way: then the one came first and proved it, the other's beginning took it away, and the other was too late to
   * prove it anew.
   */
  twins(step: number, valid: Bits): Bits {
    const { effect, on_the_way } = this.machine.steps[step]!
    const { conditions } = this.machine
    const isProved = (c: number): boolean =>
      conditions[c]!.proof && effect.some(([of, value]) => of === c && value > 0)
    if (on_the_way.some(([c]) => isProved(c))) return noBits(this.history.entries.length)
    return and(and(this.dones[step]!, valid), this.proving)
  }
}

/** The rules that a done entry says it passed. */
export const passedBy = ({ body }: LogEntry): string[] =>
  ((body['passed'] ?? []) as { rule: string }[]).map(({ rule }) => rule)
