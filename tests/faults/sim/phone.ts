/** A phone of the simulation: its storage, its windows, and the real store and sync inside them. */
import { FDBOpenDBRequest } from './base'
import type { Bundle } from '@client/procedure/bundle'
import { openSteps, machineOf, type Machine } from '@client/procedure/machine'
import { fold, type JobState } from '@client/procedure/fold'
import { logEntries } from '@client/work/log'
import type { Role } from '@client/ledger/bodies'
import { PhoneStore, type Device, type Held } from '@client/store'
import type { Last } from '@client/store/canary'
import { Files } from '@client/store/files'
import { PhoneSync } from '@client/sync'
import { cut, SimBase, type Window } from './base'
import { never, SimDisk, SimFolder, type Gate } from './disk'
import { Line } from './line'
import type { World } from './world'

const machines = new Map<string, Machine>()

/** The procedure's name is the hash of what it says. */
export function machineFor(bundle: string, procedure: Bundle): Machine {
  const machine = machines.get(bundle) ?? machineOf(procedure)
  machines.set(bundle, machine)
  return machine
}

/** Thrown to whoever still waits for a window that was killed. */
export class Died extends Error {}

const windows = new Map<string, SimWindow>()
Object.defineProperty(globalThis, 'indexedDB', {
  configurable: true,
  value: {
    open(name: string, version?: number) {
      const window = windows.get(name)
      return window ? window.phone.base.open(window, 'two-turns', version) : new FDBOpenDBRequest()
    },
  },
})
Object.defineProperty(globalThis, 'document', {
  configurable: true,
  value: { addEventListener: () => undefined, visibilityState: 'hidden' },
})
Object.defineProperty(globalThis, 'addEventListener', { configurable: true, value: () => undefined })

export function forgetWindows(): void {
  windows.clear()
}

export class Phone {
  readonly disk = new SimDisk()
  readonly base = new SimBase(this.disk)
  readonly line: Line
  readonly windows: SimWindow[] = []
  last: Last | null = null
  key: Device | null = null
  skewMs = 0
  person: string | null = null
  /** Codes of all notices that a screen of this phone has shown. */
  readonly said = new Set<string>()
  /** The same, before the app was last opened. */
  saidBefore: ReadonlySet<string> = new Set()
  /** What was destroyed since the app was last opened. */
  readonly harmed = new Set<'base' | 'journal'>()
  toldOfLoss = false
  /** Photos whose bytes were spoilt on this phone. */
  readonly damaged = new Set<string>()
  /** Told when one of its places was destroyed. */
  onHarm: () => void = () => undefined
  #holder: SimWindow | null = null
  #queue: (() => void)[] = []
  #opened = 0

  constructor(
    readonly world: World,
    readonly name: string,
    readonly role: Role,
  ) {
    this.line = new Line(world, name)
  }

  /** The same phone in another world that goes on from this one's; it is off here and there. */
  in(world: World): Phone {
    const copy = new Phone(world, this.name, this.role)
    this.disk.copyTo(copy.disk)
    this.base.copyTo(copy.base)
    this.line.copyTo(copy.line)
    for (const code of this.said) copy.said.add(code)
    for (const place of this.harmed) copy.harmed.add(place)
    for (const photo of this.damaged) copy.damaged.add(photo)
    const { last, key, skewMs, person, saidBefore, toldOfLoss } = this
    return Object.assign(copy, { last, key, skewMs, person, saidBefore, toldOfLoss })
  }

  get now(): Date {
    return new Date(this.world.nowMs + this.skewMs)
  }

  /** The window that may write, or any that is open. */
  get window(): SimWindow | null {
    return this.windows.find(({ store }) => store.writer.value) ?? this.windows[0] ?? null
  }

  /** Open the app: the first window, or another beside it. */
  async start(): Promise<SimWindow> {
    this.saidBefore = new Set(this.said)
    if (!this.windows.length && this.base.begin()) {
      this.world.harm(this.name, 'torn log lost')
      this.harmed.add('base')
      this.onHarm()
    }
    const window = new SimWindow(this, `${this.name}#${++this.#opened}`)
    this.windows.push(window)
    windows.set(window.alias, window)
    await window.alive(window.store.open())
    window.sync.start()
    return window
  }

  /** All windows end this moment. */
  kill(isPower: boolean): void {
    for (const window of this.windows.splice(0)) window.die()
    this.#holder = null
    this.#queue = []
    this.disk.letGo()
    if (isPower) this.disk.darken(this.world.chance)
  }

  /** One window of several is closed by its user. */
  close(window: SimWindow): void {
    this.windows.splice(this.windows.indexOf(window), 1)
    window.die()
    if (this.#holder === window) this.#pass()
  }

  #pass(): void {
    this.#holder = null
    this.disk.letGo()
    this.#queue.shift()?.()
  }

  locksFor(window: SimWindow): Pick<LockManager, 'request'> {
    const request = async (_: string, ...rest: unknown[]) => {
      const act = rest.at(-1) as (lock: object | null) => Promise<unknown>
      const isAvailable = this.#holder === null
      if (!isAvailable && (rest[0] as { ifAvailable?: boolean }).ifAvailable) return act(null)
      if (!isAvailable) await new Promise<void>((resolve) => this.#queue.push(resolve))
      if (window.isDead) return this.#pass()
      this.#holder = window
      await act({})
      if (this.#holder === window) this.#pass()
    }
    return { request: request as unknown as LockManager['request'] }
  }
}

export class SimWindow implements Window, Gate {
  readonly gate = this
  readonly connections = new Set<never>()
  readonly store: PhoneStore
  readonly sync: PhoneSync
  isDead = false
  /** Killed when it has passed so many gates more. */
  killIn: { left: number; isPower: boolean } | null = null
  #died: (reason: Died) => void = () => undefined
  readonly #death = new Promise<never>((_, reject) => {
    this.#died = reject
  })

  constructor(
    readonly phone: Phone,
    readonly alias: string,
  ) {
    this.#death.catch(() => undefined)
    const { world } = phone
    const root = new SimFolder(phone.disk, this)
    const now = () => phone.now
    this.store = new PhoneStore({
      name: alias,
      locks: phone.locksFor(this),
      now,
      random: (bytes) => world.chance.bytes(bytes),
      disk: new Files(async () => root, 'two-turns'),
      canary: {
        read: () => this.#kept('read canary', () => phone.last),
        write: (last) => this.#kept('write canary', () => void (phone.last = last)),
      },
      keyring: {
        read: () => this.#kept('read key', () => phone.key),
        keep: (device) => this.#kept('keep key', () => void (phone.key = device)),
        drop: () => this.#kept('keep key', () => void (phone.key = null)),
      },
      thumbnail: async () => new Uint8Array([1]).buffer,
      photoWorker: null,
      painted: null,
      persistence: null,
    })
    this.store.notices.subscribe((notices) => {
      for (const { code, message } of notices) {
        if (!this.isDead && !phone.said.has(code)) world.tell(phone.name, 'info', `shows: ${message}`)
        phone.said.add(code)
      }
    })
    this.sync = new PhoneSync(this.store, {
      fetch: phone.line.fetchFor(this),
      now,
      chance: () => world.chance.next(),
    })
  }

  pass(what: string): boolean {
    if (this.isDead) return false
    if (this.killIn && --this.killIn.left < 0) {
      const { isPower } = this.killIn
      this.phone.world.harm(this.phone.name, isPower ? 'battery gone' : 'browser killed', `at: ${what}`)
      this.phone.kill(isPower)
      return false
    }
    return true
  }

  die(): void {
    if (this.isDead) return
    this.isDead = true
    cut(this)
    windows.delete(this.alias)
    this.#died(new Died())
  }

  /** What comes of a call, or `Died`: a window that is gone answers nobody. */
  alive<T>(act: Promise<T>): Promise<T> {
    act.catch(() => undefined)
    return Promise.race([act, this.#death])
  }

  async #kept<T>(what: string, act: () => T): Promise<T> {
    return this.pass(what) ? act() : never()
  }

  /** What the screen of a job shows of its steps; null while the procedure is not here. */
  async job(job: string, bundle: string): Promise<{ held: Held[]; state: JobState | null; open: string[] }> {
    const [held, procedure] = await this.alive(Promise.all([this.store.log(job), this.store.bundle(bundle)]))
    if (!procedure) return { held, state: null, open: [] }
    const machine = machineFor(bundle, procedure)
    const state = fold(machine, logEntries(held))
    const todo = new Set(state.steps.flatMap((status, at) => (status === 'todo' ? [at] : [])))
    return {
      held,
      state,
      open: openSteps(machine, state.conditions, todo).map((at) => machine.steps[at]?.id ?? ''),
    }
  }
}
