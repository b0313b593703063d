/** One seed: a workshop, its people, an hour in which things go wrong, and the reckoning. */
import { readInvitation } from '@client/sync'
import type { Role } from '@client/ledger/bodies'
import { YearAway, type Away } from './away'
import { forgetVerdicts } from './globals'
import { heal, strike, type Scene } from './nemesis'
import { Oracle } from './oracle'
import { People } from './people'
import { Died, forgetWindows, Phone, type SimWindow } from './phone'
import { call } from './server'
import { Truth } from './truth'
import { World, type Event } from './world'

export interface Asked {
  seed: number
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
  done: Record<string, number>
  claims: number
  lost: number
  checks: number
  /** Of a year away: what it took, and what the status line said of it. */
  figures: Record<string, number>
  words: string[]
}

/** Rounds after which a healed phone has said and heard everything. */
const ROUNDS = 6

export async function simulate({ seed, seconds, plant, only, away }: Asked): Promise<Told> {
  Object.assign(globalThis, { PLANT: plant })
  const world = new World(seed)
  const truth = new Truth(world)
  const oracle = new Oracle(world, truth)
  call({ op: 'create', now: world.nowMs, seed })
  const unhandled = (error: unknown) => {
    if (!(error instanceof Died)) world.wrong('program', `nobody caught: ${error instanceof Error ? error.stack : String(error)}`)
  }
  process.on('unhandledRejection', unhandled)
  const run = new Run(world, truth, oracle, seconds, only)
  const year = away && new YearAway(world, truth, oracle, away, (name) => run.join(name, 'mechanic'))
  try {
    await (year ? world.until(year.all(), 800) : world.until(run.all()))
  } catch (error) {
    world.wrong('program', error instanceof Error ? (error.stack ?? error.message) : String(error))
  } finally {
    process.off('unhandledRejection', unhandled)
    forgetWindows()
    forgetVerdicts()
  }
  const { faults, story, done } = world
  return { seed, faults, story, done: Object.fromEntries(done), claims: oracle.claims.size, lost: oracle.lost.size, checks: oracle.checks, figures: year?.figures ?? {}, words: year?.words ?? [] }
}

class Run {
  readonly #people: People
  readonly #scene: Scene
  #isOver = false

  constructor(
    private readonly world: World,
    private readonly truth: Truth,
    private readonly oracle: Oracle,
    private readonly seconds: number,
    private readonly only: readonly string[],
  ) {
    this.#people = new People(world, oracle)
    this.#scene = { world, truth, oracle, phones: [], invite: (window) => this.#enrol(window) }
  }

  async all(): Promise<void> {
    const { chance } = this.world
    const roles: Role[] = ['owner', ...Array.from({ length: chance.whole(1, 3) }, () => 'mechanic' as const), ...(chance.is(0.3) ? ['auditor' as const] : [])]
    for (const [n, role] of roles.entries()) await this.join(`${role} ${n}`, role)
    if (chance.is(0.5)) this.truth.backUp()
    this.world.after(this.seconds * 1000, () => (this.#isOver = true))
    await Promise.all([...this.#scene.phones.map((phone) => this.#live(phone)), this.#harm()])
    await this.#reckon()
  }

  async join(name: string, role: Role): Promise<Phone> {
    const phone: Phone = new Phone(this.world, name, role, () => this.oracle.harmed(phone))
    phone.disk.onRemoved = (photo) => {
      if (photo.length === 64) this.oracle.removed(phone, photo)
    }
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
    this.world.tell(phone.name, answer.ok ? 'ok' : 'fail', answer.ok ? 'enrolled' : `not enrolled: ${answer.trouble.message}`)
  }

  /** Somebody with a phone, who opens it again when it has gone off. */
  async #live(phone: Phone): Promise<void> {
    const { chance } = this.world
    while (!this.#isOver) {
      await this.world.sleep(chance.whole(1_000, 30_000))
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

  async #harm(): Promise<void> {
    const { chance } = this.world
    while (!this.#isOver) {
      await this.world.sleep(chance.whole(1_000, 22_000))
      try {
        await strike(this.#scene, this.only)
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
    for (let [round, isQuiet] = [0, false]; round < ROUNDS && !isQuiet; round++) {
      const before = this.truth.rows.length
      for (const { window } of phones) if (window) await this.#round(window, round)
      this.truth.look()
      // Nothing was written in this round, so each phone has heard all; one that was put out by a restore comes in again in the third.
      isQuiet = round >= (this.truth.restores ? 2 : 1) && this.truth.rows.length === before
    }
    for (const { window } of phones) if (window) this.#converged(window)
    await this.oracle.last(phones)
  }

  async #round(window: SimWindow, round: number): Promise<void> {
    await window.alive(window.sync.now())
    const { words } = window.sync.status.value
    this.world.tell(window.phone.name, 'info', `sync says: ${words}`)
    // A workshop that was put back to a time before this phone came in has to invite it once more.
    const isUnknown = window.sync.status.value.state === 'stopped' && !this.oracle.revoked.has(window.store.device.value?.id ?? '')
    if (round === 2 && isUnknown && this.truth.restores) await this.#enrol(window)
  }

  #converged(window: SimWindow): void {
    const { words, state } = window.sync.status.value
    const { phone, store } = window
    if (words === 'Everything is in the workshop.') return this.oracle.saidAllIn(window)
    if (this.oracle.revoked.has(store.device.value?.id ?? '')) return
    const isRefused = store.places.value.refused > 0 || phone.damaged.size > 0 || this.oracle.erased.size > 0
    if (!isRefused) this.world.wrong('checker', `${phone.name} does not come to rest: ${state}, ${words}`)
  }
}
