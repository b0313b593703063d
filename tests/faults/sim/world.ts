/**
 * One seeded world: its clock, what is to happen when, and the story of what happened.
 *
 * Everything runs in one thread and only when the clock has come to it, so a seed is a run.
 */
import { Chance } from './chance'
import { rest, run, type Timers } from './globals'

/** As in a checker's history: asked, done, refused, or nobody knows. */
export type Outcome = 'invoke' | 'ok' | 'fail' | 'info'

export interface Event {
  /** Seconds since the world began. */
  at: number
  who: string
  outcome: Outcome
  what: string
}

interface Due {
  at: number
  order: number
  act: () => void
}

export const DAY_MS = 86_400_000
export const BEGINS_MS = Date.UTC(2026, 10, 24, 6)

export class World implements Timers {
  readonly chance: Chance
  readonly story: Event[] = []
  /** What is wrong, in words; a run that found nothing has none. */
  readonly faults: string[] = []
  /** How often each thing of the nemesis came to pass. */
  readonly done = new Map<string, number>()
  nowMs = BEGINS_MS
  #due: Due[] = []
  #order = 0

  /** `past`: a world that this one goes on from; what waited for its time there does not wait here. */
  constructor(
    readonly seed: number,
    past?: World,
  ) {
    if (past) {
      this.nowMs = past.nowMs
      this.story.push(...past.story)
      this.faults.push(...past.faults)
    }
    this.chance = new Chance(seed)
    run.chance = new Chance(seed + 0x5eed)
    run.timers = this
    run.channels = new Map()
  }

  after(ms: number, act: () => void): number {
    const due = { at: this.nowMs + Math.max(0, ms), order: ++this.#order, act }
    let place = this.#due.length
    while (place > 0 && (this.#due[place - 1] as Due).at > due.at) place--
    this.#due.splice(place, 0, due)
    return due.order
  }

  cancel(timer: number): void {
    this.#due = this.#due.filter(({ order }) => order !== timer)
  }

  sleep(ms: number): Promise<void> {
    return new Promise((resolve) => this.after(ms, resolve))
  }

  tell(who: string, outcome: Outcome, what: string): void {
    this.story.push({ at: (this.nowMs - BEGINS_MS) / 1000, who, outcome, what })
  }

  /** The nemesis did this; counted, and told. */
  harm(who: string, fault: string, what = ''): void {
    this.note(fault)
    this.tell(who, 'info', what ? `${fault}: ${what}` : fault)
  }

  /** It came to pass by itself; there is nothing to tell. */
  note(fault: string): void {
    this.done.set(fault, (this.done.get(fault) ?? 0) + 1)
  }

  wrong(who: string, what: string): void {
    this.faults.push(what)
    this.tell(who, 'fail', `*** ${what}`)
  }

  /** Let time go by until `act` is over; one that hangs longer than these days of this world is a fault of its own. */
  async until<T>(act: Promise<T>, days = 40): Promise<T | undefined> {
    let isOver = false
    let value: T | undefined
    let failure: unknown
    const noted = act.then(
      (got) => ([isOver, value] = [true, got]),
      (error: unknown) => ([isOver, failure] = [true, error]),
    )
    const last = this.nowMs + days * DAY_MS
    while (!isOver) {
      await rest()
      if (isOver) break
      const next = this.#due.shift()
      if (!next || next.at > last) {
        this.wrong('world', 'something waits for ever')
        return undefined
      }
      this.nowMs = next.at
      next.act()
    }
    await noted
    if (failure !== undefined) throw failure
    return value
  }
}
