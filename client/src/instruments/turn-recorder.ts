/** Takes a gyro's samples as they come: waits for a still second, then keeps the turn. Pure: the sensor is `turn-motion.ts`. */
import {
  EDITION,
  LONGEST_US,
  measureTurn,
  MOST_SPREAD_MDPS,
  spreadOf,
  STILL_US,
  type Sample,
  type TurnFound,
  type TurnTaken,
} from './turn'
import type { Refusal } from './refusal'

/** `saw` of a reading by turn holds one of these for each capture, in order; the value is their sum. */
export interface TurnSheet extends TurnTaken {
  v: 1
  by: 'turn'
  edition: number
}

const STILL_WINDOW_US = 1_000_000

export class TurnRecorder {
  readonly #samples: Sample[] = []
  #still: TurnTaken['still'] | null = null

  /** One reading of the sensor. What comes late or twice is left out; so is all after two minutes. */
  add(t_us: number, x: number, y: number, z: number): void {
    const last = this.#samples[this.#samples.length - 1]
    if (last && t_us <= last[0]) return
    if (this.#still && t_us - this.#still.to_us > LONGEST_US) return
    this.#samples.push([t_us, x, y, z])
    if (!this.#still) this.#lookForStill(t_us)
  }

  /** The first second whose rates keep within 2 degrees per second is the zero. */
  #lookForStill(now: number): void {
    while (now - this.#samples[0]![0] > STILL_WINDOW_US) this.#samples.shift()
    const from = this.#samples[0]![0]
    if (now - from < STILL_US || this.#samples.length < 10) return
    if (spreadOf(this.#samples) <= MOST_SPREAD_MDPS) this.#still = { from_us: from, to_us: now }
  }

  /** `settling`: hold still. `turning`: the zero is known, the turn may begin. */
  get phase(): 'settling' | 'turning' {
    return this.#still ? 'turning' : 'settling'
  }

  /** The angle so far, for the screen; null while there is nothing to tell. Cheap enough for ten times a second. */
  soFar(scale_ppm: number): TurnFound | Refusal | null {
    return this.#still && measureTurn(this.#taken(this.#still, scale_ppm))
  }

  /** The capture as it is kept; null before the still second. Times count from its first sample. */
  sheet(scale_ppm: number): TurnSheet | null {
    return this.#still && { v: 1, by: 'turn', edition: EDITION, ...this.#taken(this.#still, scale_ppm) }
  }

  #taken(still: TurnTaken['still'], scale_ppm: number): TurnTaken {
    const start = this.#samples[0]![0]
    const samples = this.#samples.map(([t, x, y, z]): Sample => [t - start, x, y, z])
    return { still: { from_us: still.from_us - start, to_us: still.to_us - start }, scale_ppm, samples }
  }
}
