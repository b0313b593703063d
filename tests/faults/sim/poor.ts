/**
 * A line that is hardly one: few bytes a second in each direction, shared by all that is under way, late,
 * and gone again and again. What was under way when it went breaks off where it was.
 */
import type { World } from './world'

export interface Poor {
  bytesASecond: number
  /** On the way there, and on the way back. */
  latencyMs: number
  /** Up so long, then down so long, on the average; each time half of it to one and a half. */
  upMs: number
  downMs: number
}

/** So much of one request goes at a time, then it is the next one's turn. */
const TURN_BYTES = 1024
/** A radio that knows that it is out of reach says so; another leaves the page waiting for ever. */
const KNOWN_DOWN_MS = 1_000

export class Broken extends TypeError {
  constructor(readonly moved: number) {
    super('connection reset')
  }
}

interface Load {
  left: number
  moved: number
  onBytes: (moved: number) => void
  done: () => void
  broken: (error: Broken) => void
}

/** One direction. */
class Lane {
  bytes = 0
  #loads: Load[] = []
  #isBusy = false

  constructor(
    private readonly world: World,
    private readonly bytesASecond: number,
  ) {}

  move(bytes: number, onBytes: (moved: number) => void = () => undefined): Promise<void> {
    return new Promise((done, broken) => {
      this.#loads.push({ left: bytes, moved: 0, onBytes, done, broken })
      if (!this.#isBusy) void this.#run()
    })
  }

  breakOff(): void {
    for (const { broken, moved } of this.#loads.splice(0)) broken(new Broken(moved))
  }

  async #run(): Promise<void> {
    this.#isBusy = true
    for (let load = this.#loads[0]; load; load = this.#loads[0]) {
      const count = Math.min(TURN_BYTES, load.left)
      await this.world.sleep((count * 1000) / this.bytesASecond)
      if (this.#loads[0] !== load) continue // the line went down meanwhile
      this.#loads.shift()
      this.bytes += count
      load.left -= count
      load.moved += count
      load.onBytes(load.moved)
      if (load.left === 0) load.done()
      else this.#loads.push(load)
    }
    this.#isBusy = false
  }
}

export class PoorLine {
  readonly sent: Lane
  readonly heard: Lane
  requests = 0
  broken = 0
  upMs = 0
  #isUp = true
  /** How often it went down: what waits at its end is not there any more. */
  #turn = 0

  constructor(
    private readonly world: World,
    private readonly poor: Poor,
  ) {
    this.sent = new Lane(world, poor.bytesASecond)
    this.heard = new Lane(world, poor.bytesASecond)
    void this.#flap()
  }

  /** The bytes of a request go out. */
  async send(bytes: number): Promise<void> {
    this.requests += 1
    if (!this.#isUp) return this.#down()
    const turn = this.#turn
    await this.world.sleep(this.poor.latencyMs)
    this.#stillUp(turn)
    return this.sent.move(bytes)
  }

  /** The bytes of an answer come in. */
  async hear(bytes: number, onBytes: (moved: number) => void): Promise<void> {
    const turn = this.#turn
    await this.world.sleep(this.poor.latencyMs)
    this.#stillUp(turn)
    return this.heard.move(bytes, onBytes)
  }

  #stillUp(turn: number): void {
    if (turn !== this.#turn || !this.#isUp) throw new Broken(0)
  }

  async #down(): Promise<never> {
    if (this.world.chance.is(0.5)) return new Promise(() => undefined)
    await this.world.sleep(KNOWN_DOWN_MS)
    throw new Broken(0)
  }

  async #flap(): Promise<never> {
    for (;;) {
      const up = this.poor.upMs * (0.5 + this.world.chance.next())
      await this.world.sleep(up)
      this.upMs += up
      this.#isUp = false
      this.#turn += 1
      this.broken += 1
      this.sent.breakOff()
      this.heard.breakOff()
      await this.world.sleep(this.poor.downMs * (0.5 + this.world.chance.next()))
      this.#isUp = true
    }
  }
}
