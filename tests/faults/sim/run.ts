/**
 * One seed: a workshop and its people go on from a past, things go wrong, and the reckoning.
 *
 * What is dear to find needs a past (jobs half done, photos unsent, an old backup), and a past is dear.
 * So some seeds share one, and each goes on from it in its own way, with a copy of all that is kept
 * anywhere.
 */
import { readInvitation } from '@client/sync/invitation'
import type { Role } from '@client/ledger/bodies'
import { YearAway, type Away } from './away'
import { forgetVerdicts } from './globals'
import { heal, someHarms, strike, type Scene } from './nemesis'
import { Oracle } from './oracle'
import { People } from './people'
import { Died, forgetWindows, Phone, type SimWindow } from './phone'
import { call } from './server'
import { Truth } from './truth'
import { World, type Event } from './world'

export interface Asked {
  seed: number
  /** The number of the past that it goes on from. */
  past: number
  /** How long people work, in seconds of that world. */
  seconds: number
  /** A fault of the product's, planted to see whether it is found; '' for none. */
  plant: string
  /** What alone goes wrong, by the nemesis's names; empty: everything. */
  only: string[]
  /** In the place of all that: one phone's year away, and its way back. */
  away: Away | null
}

export interface Told {
  seed: number
  faults: string[]
  story: Event[]
  /** Since this seed went its own way: what went wrong, and how much was shown as kept, and was lost. */
  done: Record<string, number>
  claims: number
  lost: number
  checks: number
  /** Of a year away: what it took, and what the status line said of it. */
  figures: Record<string, number>
  words: string[]
}

const PAST_S = 100
/** By then whatever was under way is over: late requests, a journal that is held on, a full workshop. */
const EVENING_MS = 130_000
/** Other than the seed of any run. */
const PASTS = 1e9

const ALL_IN = 'Everything is in the workshop.'
/** Rounds after which a healed phone has said and heard everything. */
const ROUNDS = 6

export async function simulate(asked: Asked): Promise<Told> {
  Object.assign(globalThis, { PLANT: asked.plant })
  return asked.away ? simulateAway(asked, asked.away) : simulateDay(asked)
}

async function simulateDay(asked: Asked): Promise<Told> {
  const { seed, seconds, only } = asked
  const past = await pastOf(asked)
  const run = new Run(seed, past)
  call({ op: 'return', now: run.world.nowMs, seed })
  await run.within(run.day(seconds, only))
  const { world, oracle } = run
  return {
    ...toldOf(run),
    done: Object.fromEntries(world.done),
    claims: oracle.claims.size - past.oracle.claims.size,
    lost: oracle.lost.size - past.oracle.lost.size,
  }
}

async function simulateAway({ seed }: Asked, away: Away): Promise<Told> {
  forgetPast()
  const run = new Run(seed)
  const { world, truth, oracle } = run
  call({ op: 'create', now: world.nowMs, seed })
  const year = new YearAway(world, truth, oracle, away, (name) => run.join(name, 'mechanic'))
  await run.within(year.all(), 800)
  return {
    ...toldOf(run),
    claims: oracle.claims.size,
    lost: oracle.lost.size,
    figures: year.figures,
    words: year.words,
  }
}

function toldOf({ world: { seed, faults, story }, oracle: { checks } }: Run): Told {
  return { seed, faults, story, done: {}, claims: 0, lost: 0, checks, figures: {}, words: [] }
}

/** The last one that was made. */
let made: { name: string; past: Run } | null = null

function forgetPast(): void {
  made = null
  forgetVerdicts()
}

async function pastOf({ past: number, plant, only }: Asked): Promise<Run> {
  const name = JSON.stringify([number, plant, only])
  if (made?.name === name) return made.past
  forgetPast()
  const past = new Run(PASTS + number)
  call({ op: 'create', now: past.world.nowMs, seed: past.world.seed })
  await past.within(past.begin(only))
  call({ op: 'mark', now: past.world.nowMs })
  made = { name, past }
  return past
}

class Run {
  readonly world: World
  readonly truth: Truth
  readonly oracle: Oracle
  readonly #people: People
  readonly #scene: Scene
  #isOver = false

  constructor(seed: number, past?: Run) {
    this.world = new World(seed, past?.world)
    this.truth = new Truth(this.world, past?.truth)
    this.oracle = new Oracle(this.world, this.truth, past?.oracle)
    this.#people = new People(this.world, this.oracle)
    const phones = (past ? this.#used(past.#scene.phones) : []).map((phone) => phone.in(this.world))
    for (const phone of phones) this.oracle.watch(phone)
    this.#scene = {
      world: this.world,
      truth: this.truth,
      oracle: this.oracle,
      phones,
      invite: (window) => this.#enrol(window),
    }
  }

  /** One or two are used on this day; the others lie in a drawer. */
  #used(phones: Phone[]): Phone[] {
    const { chance } = this.world
    const one = chance.of(phones)
    const another = chance.of(phones)
    return another === one || chance.is(0.4) ? [one] : [one, another]
  }

  /** Let it happen; what nobody caught is a fault like any other. */
  async within(act: Promise<void>, days?: number): Promise<void> {
    const { world } = this
    const wrong = (error: unknown) =>
      world.wrong('program', error instanceof Error ? (error.stack ?? error.message) : String(error))
    const unhandled = (error: unknown) => void (error instanceof Died || wrong(error))
    process.on('unhandledRejection', unhandled)
    try {
      await world.until(act, days)
    } catch (error) {
      wrong(error)
    } finally {
      process.off('unhandledRejection', unhandled)
      forgetWindows()
    }
  }

  /** From a new workshop to the evening. */
  async begin(only: string[]): Promise<void> {
    const { chance } = this.world
    const roles: Role[] = [
      'owner',
      ...Array.from({ length: chance.whole(1, 3) }, () => 'mechanic' as const),
      ...(chance.is(0.3) ? ['auditor' as const] : []),
    ]
    // Half of the pasts have a backup, and that may be older than some of the phones, or than all.
    const backedUp = chance.whole(0, 2 * roles.length)
    for (const [n, role] of roles.entries()) {
      if (n === backedUp) this.truth.backUp()
      await this.join(`${role} ${n}`, role)
    }
    if (backedUp === roles.length) this.truth.backUp()
    await this.#work(PAST_S, only)
    for (const phone of this.#scene.phones) phone.kill(false)
    await this.world.sleep(EVENING_MS)
    this.truth.look()
  }

  /** A few kinds of harm and often: what takes two that are rare is met sooner so than with all at once. */
  async day(seconds: number, only: string[]): Promise<void> {
    await this.#work(seconds, only.length ? only : someHarms(this.world.chance))
    await this.#reckon()
  }

  async join(name: string, role: Role): Promise<Phone> {
    const phone = new Phone(this.world, name, role)
    this.oracle.watch(phone)
    this.#scene.phones.push(phone)
    const window = await phone.start()
    await this.#enrol(window)
    await window.alive(window.sync.now())
    return phone
  }

  async #enrol(window: SimWindow): Promise<void> {
    const { phone } = window
    const text = this.truth.invite(phone.role, phone.name, phone.person)
    const read = readInvitation(text)
    if (!read.ok) throw new Error('the invitation is none')
    phone.person = read.value.person
    const answer = await window.alive(window.sync.enrol(read.value))
    this.world.tell(
      phone.name,
      answer.ok ? 'ok' : 'fail',
      answer.ok ? 'enrolled' : `not enrolled: ${answer.trouble.message}`,
    )
  }

  async #work(seconds: number, only: string[]): Promise<void> {
    this.world.after(seconds * 1000, () => (this.#isOver = true))
    await Promise.all([...this.#scene.phones.map((phone) => this.#live(phone)), this.#harm(only)])
  }

  /** Somebody with a phone, who opens it again when it has gone off. */
  async #live(phone: Phone): Promise<void> {
    const { chance } = this.world
    while (!this.#isOver) {
      await this.world.sleep(chance.whole(1_000, 16_000))
      try {
        const window = phone.windows.length ? chance.of(phone.windows) : await this.#open(phone)
        if (window.store.device.value === null) await this.#enrol(window)
        else await this.#people.act(window)
        if (chance.is(0.15)) await this.oracle.look(window)
      } catch (error) {
        if (!(error instanceof Died)) throw error
      }
    }
  }

  async #open(phone: Phone): Promise<SimWindow> {
    this.world.tell(phone.name, 'info', 'opens the app')
    const window = await phone.start()
    if (window.store.writer.value && !window.store.trouble.value) {
      await this.oracle.opened(window)
      phone.harmed.clear()
    }
    return window
  }

  async #harm(only: string[]): Promise<void> {
    const { chance } = this.world
    while (!this.#isOver) {
      await this.world.sleep(chance.whole(1_000, 12_000))
      try {
        await strike(this.#scene, only)
      } catch (error) {
        if (!(error instanceof Died)) throw error
      }
    }
  }

  async #reckon(): Promise<void> {
    heal(this.#scene)
    const { phones } = this.#scene
    for (const phone of phones) {
      phone.kill(false)
      const window = await this.#open(phone)
      if (window.store.device.value === null) await this.#enrol(window)
    }
    await this.world.sleep(400_000) // late requests have come in by then
    this.truth.look()
    for (let round = 0; round < ROUNDS && !(await this.#haveHeardAll()); round++) {
      for (const { window } of phones) if (window) await this.#round(window)
      this.truth.look()
    }
    for (const { window } of phones) if (window) this.#converged(window)
    await this.oracle.last(phones)
  }

  async #haveHeardAll(): Promise<boolean> {
    const size = this.truth.rows.length
    for (const { window } of this.#scene.phones) {
      if (
        window &&
        (window.sync.status.value.words !== ALL_IN ||
          (await window.alive(window.store.ledger.seen())).cursor < size)
      )
        return false
    }
    return true
  }

  async #round(window: SimWindow): Promise<void> {
    await window.alive(window.sync.now())
    this.world.tell(window.phone.name, 'info', `sync says: ${window.sync.status.value.words}`)
  }

  #converged(window: SimWindow): void {
    const { words, state } = window.sync.status.value
    const { phone, store } = window
    if (words === ALL_IN) {
      this.oracle.saidAllIn(window)
      return
    }
    if (this.oracle.revoked.has(store.device.value?.id ?? '')) return
    const isRefused = store.places.value.refused > 0 || phone.damaged.size > 0 || this.oracle.erased.size > 0
    if (!isRefused) this.world.wrong('checker', `${phone.name} does not come to rest: ${state}, ${words}`)
  }
}
