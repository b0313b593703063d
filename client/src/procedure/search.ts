/**
 * The shortest way from a state to an end, over open steps that break no house rule.
 *
 * A state is a set of bits: one for each value of each condition, of which one is set, and one for each must-step that
 * is todo. So what a step needs, its place in the order among it, is one mask of bits that must not be there, and doing
 * it is a few masks more.
 *
 * The search is A* with `States.bound`, which never says more than there is to do: the answer is exact. Rule for rule
 * as `server/twoturns/procedure/machine/search.py`, which says more.
 */
import { add, addAll, and, type Bits, has, isEmpty, less, meet, members, noBits, or } from './bits'
import { byRank, everyValue, type Machine, type MachineEnd, type Pairs } from './machine'

/** A bound that no way has. */
const NO_WAY = 2 ** 30

/** The bits that one condition must not have, and the steps that can bring another. */
interface Need {
  bad: Bits
  helpers: Bits
}

/** A bit that is taken away, and the makers that are todo then. */
interface Taken {
  bit: number
  makers: Bits
}

/** Doing one step: it may be done where no bit of `bad` is set. */
export interface Move {
  step: number
  bad: Bits
  /** Itself and what waits for it while it is todo: what is listed after it, its mates aside. */
  behind: Bits
  /** Its own bit, while which is set it may be done; null: whenever it changes something. */
  todo: number | null
  clears: Bits
  sets: Bits
  /** Makers of the proofs it writes: todo, whatever was proved. */
  always: Bits
  takes: readonly Taken[]
  needs: readonly Need[]
  /** Like `takes`: makers that nothing could have spared. */
  redone: readonly Taken[]
}

/** The states of a machine, with what each step does to them. */
export class States {
  readonly moves: readonly Move[]
  readonly musts: Bits
  private readonly first: number[] = []
  /** Where the bits of steps begin. Sets of steps are kept in these bits, too. */
  private readonly steps: number
  private readonly size: number
  private readonly writers: Bits[]
  private readonly byStep = new Map<number, Move>()
  private readonly endNeeds: readonly Need[]
  private readonly endBad: Bits
  private readonly none: Bits

  constructor(
    readonly machine: Machine,
    readonly end: MachineEnd,
  ) {
    let at = 0
    for (const { values } of machine.conditions) {
      this.first.push(at)
      at += values.length
    }
    this.steps = at
    this.size = at + machine.steps.length
    const every = [...machine.steps.keys()]
    this.none = noBits(this.size)
    this.musts = this.stepBits(every.filter((step) => machine.steps[step]!.must))
    this.writers = this.findWriters()
    this.moves = every.sort((a, b) => byRank(machine, a, b)).map((step) => this.move(step))
    for (const move of this.moves) this.byStep.set(move.step, move)
    this.endNeeds = this.needs(end.conditions)
    this.endBad = noBits(this.size)
    for (const { bad } of this.endNeeds) addAll(this.endBad, bad)
  }

  /** The state of these values, one for each condition, and steps that are todo. */
  packed(values: readonly number[], todo: Iterable<number>): Bits {
    const state = this.stepBits([...todo].filter((step) => this.machine.steps[step]!.must))
    for (const [c, value] of values.entries()) add(state, this.first[c]! + value)
    return state
  }

  /** The value of a condition. */
  value(state: Bits, c: number): number {
    return this.machine.conditions[c]!.values.findIndex((_, value) => has(state, this.first[c]! + value))
  }

  isTodo(state: Bits, step: number): boolean {
    return has(state, this.steps + step)
  }

  /** Whether the end is reached. */
  isEnd(state: Bits): boolean {
    return !meet(state, this.endBad) && !(this.end.all_must && meet(state, this.musts))
  }

  /** What a step asks of the state before it, or without a step the end. */
  asked(step: number | null): Pairs {
    if (step === null) return this.end.conditions
    const { guard, moves, rules } = this.machine.steps[step]!
    const stops = rules.filter(({ rule }) => !this.machine.rules[rule]!.ask)
    return [...guard, ...moves, ...stops.flatMap((rule) => rule.guard)]
  }

  /** The state after a step, or null where it may not be done. */
  after(state: Bits, move: Move): Bits | null {
    if (meet(state, move.bad)) return null
    if (move.todo === null ? isEmpty(less(move.sets, state)) : !has(state, move.todo)) return null
    return this.done(state, move)
  }

  /** The state after a step that may be done. */
  done(state: Bits, { todo, clears, sets, always, takes }: Move): Bits {
    const after = noBits(this.size)
    for (let w = 0; w < after.length; w++) after[w] = (state[w]! & ~clears[w]!) | sets[w]! | always[w]!
    for (const { bit, makers } of takes) if (has(state, bit)) addAll(after, makers)
    if (todo !== null) after[todo >>> 5]! &= ~(1 << (todo & 31))
    return after
  }

  /**
   * A number of steps that no way to the end can undercut.
   *
   * Every must-step that is todo is to be done; so is each that will be lost for certain. Where one of them needs what
   * is not so, and no step among them could bring it, one more step is to be done out of those that can: counted once
   * for each such choice that shares no step with another.
   */
  bound(state: Bits): number {
    const wanted = this.end.all_must ? and(state, this.musts) : noBits(this.size)
    let later = noBits(this.size)
    for (;;) {
      const choices = this.choices(state, wanted, later)
      if (choices === null) return NO_WAY
      const lost = noBits(this.size)
      if (this.end.all_must) for (const choice of choices) addAll(lost, this.surelyLost(state, choice))
      const more = less(less(lost, wanted), later)
      if (isEmpty(more)) return members(or(wanted, later)).length + disjoint(choices)
      later = or(later, more)
    }
  }

  /** The sets of steps out of which one more is to be done; null if one is empty. */
  private choices(state: Bits, wanted: Bits, later: Bits): Bits[] | null {
    const todo = or(wanted, later)
    const choices: Bits[] = []
    for (const bit of [null, ...members(todo)]) {
      const move = bit === null ? null : this.byStep.get(bit - this.steps)!
      const behind = move && has(wanted, bit!) ? move.behind : this.none
      for (const { bad, helpers } of move?.needs ?? this.endNeeds) {
        if (!meet(state, bad)) continue
        // A step that is todo itself waits for every step before it: what waits for it cannot help.
        if (canHelp(helpers, todo, wanted, behind)) continue
        const able = less(helpers, and(wanted, behind))
        if (isEmpty(able)) return null
        choices.push(able)
      }
    }
    return choices
  }

  /** The must-steps that every step of a choice takes away. */
  private surelyLost(state: Bits, choice: Bits): Bits {
    let lost = this.musts
    for (const bit of members(choice)) {
      const { always, redone } = this.byStep.get(bit - this.steps)!
      const taken = always.slice()
      for (const { bit: had, makers } of redone) if (has(state, had)) addAll(taken, makers)
      lost = and(lost, taken)
    }
    return lost
  }

  // Bits.

  private stepBits(steps: readonly number[]): Bits {
    const found = noBits(this.size)
    for (const step of steps) add(found, this.steps + step)
    return found
  }

  private outside(c: number, mask: number): Bits {
    const found = noBits(this.size)
    const out = everyValue(this.machine.conditions[c]!) & ~mask
    this.machine.conditions[c]!.values.forEach((_, value) => {
      if ((out >> value) & 1) add(found, this.first[c]! + value)
    })
    return found
  }

  // Moves.

  /** For each bit of a value the steps that leave it. */
  private findWriters(): Bits[] {
    const writers = Array.from({ length: this.steps }, () => noBits(this.size))
    this.machine.steps.forEach(({ effect }, step) => {
      for (const [c, value] of effect) add(writers[this.first[c]! + value]!, this.steps + step)
    })
    return writers
  }

  /** For each mask the bits outside it, and the steps that bring what is inside. */
  private needs(pairs: Pairs): Need[] {
    return pairs.map(([c, mask]) => {
      const helpers = noBits(this.size)
      this.machine.conditions[c]!.values.forEach((_, value) => {
        if ((mask >> value) & 1) addAll(helpers, this.writers[this.first[c]! + value]!)
      })
      return { bad: this.outside(c, mask), helpers }
    })
  }

  private move(at: number): Move {
    const step = this.machine.steps[at]!
    const needs = this.needs(this.asked(at))
    const bad = this.stepBits(step.before)
    const behind = this.stepBits([...this.machine.steps.keys()].filter((other) => this.waits(other, at)))
    for (const need of needs) addAll(bad, need.bad)
    const [clears, sets, always] = [noBits(this.size), noBits(this.size), noBits(this.size)]
    const takes: Taken[] = []
    const redone: Taken[] = []
    for (const [c, value] of step.effect) {
      addAll(clears, this.outside(c, 0))
      add(sets, this.first[c]! + value)
      for (const [left, makers] of this.machine.makersOf.get(c) ?? []) {
        if (left === value) continue
        if (this.machine.conditions[c]!.proof) {
          addAll(always, this.stepBits(makers))
          continue
        }
        const bit = this.first[c]! + left
        takes.push({ bit, makers: this.stepBits(makers.filter((m) => step.undo || m > at)) })
        redone.push({ bit, makers: this.stepBits(makers.filter((m) => this.isSure(c, left, m))) })
      }
    }
    const todo = step.must ? this.steps + at : null
    return { step: at, bad, behind, todo, clears, sets, always, takes, needs, redone }
  }

  private waits(other: number, at: number): boolean {
    const { must, together } = this.machine.steps[at]!
    const isMate = together !== null && this.machine.steps[other]!.together === together
    return other === at || (other > at && must && !isMate)
  }

  /** Whether every step that takes this value away resets this maker. */
  private isSure(c: number, left: number, maker: number): boolean {
    return this.machine.steps.every(
      ({ undo, effect }, at) =>
        undo || maker > at || !effect.some(([of, value]) => of === c && value !== left),
    )
  }
}

const known = new WeakMap<Machine, Map<MachineEnd, States>>()

/** The states of a machine up to an end, made once: a phone plans anew after every act. */
export function statesOf(machine: Machine, end: MachineEnd): States {
  let ends = known.get(machine)
  if (!ends) known.set(machine, (ends = new Map()))
  let states = ends.get(end)
  if (!states) ends.set(end, (states = new States(machine, end)))
  return states
}

/** Whether one of the helpers is todo, and not one of those that wait. */
function canHelp(helpers: Bits, todo: Bits, wanted: Bits, behind: Bits): boolean {
  for (let w = 0; w < helpers.length; w++) {
    if (helpers[w]! & todo[w]! & ~(wanted[w]! & behind[w]!)) return true
  }
  return false
}

/** How many of these sets, taken smallest first, share nothing with one another. */
function disjoint(choices: readonly Bits[]): number {
  const sized = choices.map((choice) => ({ choice, size: members(choice).length }))
  sized.sort((a, b) => a.size - b.size || compareBits(a.choice, b.choice))
  let count = 0
  let used: Bits | null = null
  for (const { choice } of sized) {
    if (used && meet(choice, used)) continue
    used = used ? or(used, choice) : choice
    count += 1
  }
  return count
}

function compareBits(a: Bits, b: Bits): number {
  for (let w = a.length - 1; w >= 0; w--) if (a[w] !== b[w]) return a[w]! - b[w]!
  return 0
}

/** What a search found: the steps in order, or null; `gaveUp` when the limit was hit. */
export interface Way {
  steps: number[] | null
  gaveUp: boolean
  lookedAt: number
}

/**
 * The shortest way to the end; among equals the first in the order of `byRank`.
 * @param limit how many states may be looked at before it gives up
 */
export function shortestWay(states: States, start: Bits, limit: number): Way {
  const search = new Search(states, limit)
  try {
    const length = search.length(start)
    const steps = length === null ? null : search.firstWay(start, length)
    return { steps, gaveUp: false, lookedAt: search.lookedAt }
  } catch (error) {
    if (!(error instanceof LimitHit)) throw error
    return { steps: null, gaveUp: true, lookedAt: search.lookedAt }
  }
}

class LimitHit extends Error {}

/** A state as a key: two UTF-16 units a word. */
const keyOf = (state: Bits): string => {
  let key = ''
  for (const word of state) key += String.fromCharCode(word & 0xffff, word >>> 16)
  return key
}

class Search {
  lookedAt = 0
  private readonly bounds = new Map<string, number>()
  /** A state, and with how many steps left it was in vain. */
  private readonly hopeless = new Map<string, number>()

  constructor(
    private readonly states: States,
    private readonly limit: number,
  ) {}

  private bound(state: Bits, key: string): number {
    let bound = this.bounds.get(key)
    if (bound === undefined) this.bounds.set(key, (bound = this.states.bound(state)))
    return bound
  }

  private lookAt(): void {
    this.lookedAt += 1
    if (this.lookedAt > this.limit) throw new LimitHit()
  }

  /** The length of the shortest way, or null if there is none. */
  length(start: Bits): number | null {
    const { moves } = this.states
    const best = new Map([[keyOf(start), 0]])
    const waiting = new Map<number, [Bits, number][]>()
    const put = (state: Bits, key: string, depth: number) => {
      const total = depth + this.bound(state, key)
      if (total >= NO_WAY) return
      if (!waiting.has(total)) waiting.set(total, [])
      waiting.get(total)!.push([state, depth])
    }
    put(start, keyOf(start), 0)
    while (waiting.size > 0) {
      const total = Math.min(...waiting.keys())
      const stack = waiting.get(total)!
      const [state, depth] = stack.pop()!
      if (stack.length === 0) waiting.delete(total)
      if (depth > best.get(keyOf(state))!) continue // it was reached on a shorter way since
      if (this.states.isEnd(state)) return depth
      this.lookAt()
      for (let m = moves.length - 1; m >= 0; m--) {
        const move = moves[m]!
        const after = this.states.after(state, move)
        if (after === null) continue
        const key = keyOf(after)
        if ((best.get(key) ?? NO_WAY) <= depth + 1) continue
        best.set(key, depth + 1)
        put(after, key, depth + 1)
      }
    }
    return null
  }

  /** The first way of this length in the order of steps: depth first, in that order. */
  firstWay(start: Bits, length: number): number[] | null {
    const way: number[] = []
    return this.follow(start, length, way) ? way : null
  }

  private follow(state: Bits, left: number, way: number[]): boolean {
    if (this.states.isEnd(state)) return left === 0
    const key = keyOf(state)
    if (this.bound(state, key) > left || (this.hopeless.get(key) ?? -1) >= left) return false
    this.lookAt()
    for (const move of this.states.moves) {
      const after = this.states.after(state, move)
      if (after === null) continue
      way.push(move.step)
      if (this.follow(after, left - 1, way)) return true
      way.pop()
    }
    this.hopeless.set(key, left)
    return false
  }
}
