/**
 * Finds plucks in a stream of sound, and judges each on the 2 s around it. Pure; it runs in a worker.
 *
 * A cheap trigger, which may fire on anything that grows loud, cuts a clip; only the estimator says whether it holds a
 * pluck. What it hears is rounded to 16 bits first, so that what is kept is what was judged.
 */
import { estimate, type Pluck, type Range } from './pluck'
import { CLIP_HZ } from './pluck-front'
import type { Heard } from './pluck-session'
import { quantized, unquantized } from './pluck-wav'

/** `level` every 50 ms: power of the sound in dB of full scale; `pluck`: one was heard, or something like it. */
export type WatchEvent = { kind: 'level'; db: number } | ({ kind: 'pluck' } & Heard)

/** What the page tells the worker, once: where pieces of sound come from, at what rate, and what to expect in them. */
export interface Begin {
  port: MessagePort
  rateHz: number
  near: Range | null
}

const BLOCK = CLIP_HZ / 100
/** Chosen, 0.8 s: the quiet that the estimator takes its noise from. */
const LEAD_BLOCKS = 80
/** Chosen, 2 s: the longest ringing of a belt, and the quiet before it. */
const CLIP_BLOCKS = 200
/** Chosen, the trigger: 30 ms against the 90 ms before them, as the estimator's middle rise. */
const NOW_BLOCKS = 3
/** Chosen: see above. */
const BEFORE_BLOCKS = 9
/** Chosen: fires too often rather than too seldom, for the estimator judges what it hears. */
const RISE = 2.5
/** Chosen, 0.25 s: after a pluck nothing begins anew for so long, it still rings. */
const REST_BLOCKS = 25
/** Chosen, 50 ms: as often as an eye follows. */
const LEVEL_BLOCKS = 5
/** Chosen, 6 s: three clips, so that one is still there when its worker is late. */
const RING_BLOCKS = 600
const RING = RING_BLOCKS * BLOCK
/** -100 dB, the power of a silent microphone's last bits. */
const SILENCE = 1e-10
/** Chosen: one pole at about 1.8 kHz, the estimator's edge. */
const SMOOTH = 0.21

export class Watch {
  readonly #sound = new Float32Array(RING)
  readonly #powers = new Float64Array(RING_BLOCKS)
  /** Samples taken in, and blocks looked at by the trigger, since the beginning. */
  #count = 0
  #looked = LEAD_BLOCKS
  /** The block at which the trigger fired, until its clip is whole. */
  #fired: number | null = null
  #low = 0
  #blockPower = 0
  #levelPower = 0

  constructor(private readonly near: Range | null) {}

  /** Take in a piece at 48 kHz; return what came of it. */
  push(piece: ArrayLike<number>): WatchEvent[] {
    const events: WatchEvent[] = []
    for (let i = 0; i < piece.length; i++) {
      this.#take(piece[i]!)
      if (this.#count % BLOCK === 0) events.push(...this.#endBlock())
    }
    return events
  }

  #take(value: number): void {
    this.#sound[this.#count % RING] = value
    this.#count++
    this.#low += SMOOTH * (value - this.#low)
    this.#blockPower += (this.#low * this.#low) / BLOCK
    this.#levelPower += (value * value) / (BLOCK * LEVEL_BLOCKS)
  }

  #endBlock(): WatchEvent[] {
    const blocks = this.#count / BLOCK
    this.#powers[(blocks - 1) % RING_BLOCKS] = this.#blockPower
    this.#blockPower = 0
    const events: WatchEvent[] = []
    if (blocks % LEVEL_BLOCKS === 0) {
      events.push({ kind: 'level', db: 10 * Math.log10(this.#levelPower + SILENCE) })
      this.#levelPower = 0
    }
    const heard = this.#look(blocks)
    return heard ? [...events, { kind: 'pluck', ...heard }] : events
  }

  #look(blocks: number): Heard | null {
    while (this.#fired === null && this.#looked + NOW_BLOCKS <= blocks) {
      if (this.#rises(this.#looked)) this.#fired = this.#looked
      this.#looked++
    }
    if (this.#fired === null || blocks < this.#fired - LEAD_BLOCKS + CLIP_BLOCKS) return null
    const first = this.#fired - LEAD_BLOCKS
    const clip = quantized(this.#cut(first * BLOCK, CLIP_BLOCKS * BLOCK))
    const pluck: Pluck = estimate(unquantized(clip), this.near)
    const begun = first + Math.floor((pluck.onsetS * CLIP_HZ) / BLOCK)
    this.#looked = this.#next(this.#fired, begun, pluck)
    this.#fired = null
    return pluck.reject === 'no-pluck' || pluck.reject === 'too-short' ? null : { pluck, clip }
  }

  /** A pluck may come after the sound that fired: it must be heard whole, and not twice. */
  #next(fired: number, begun: number, { reject }: Pluck): number {
    return reject === 'too-short'
      ? Math.max(fired + 1, begun - NOW_BLOCKS)
      : Math.max(fired, begun) + REST_BLOCKS
  }

  #rises(block: number): boolean {
    const now = this.#mean(block, NOW_BLOCKS)
    return now > SILENCE && now > RISE * this.#mean(block - BEFORE_BLOCKS, BEFORE_BLOCKS)
  }

  #mean(block: number, count: number): number {
    let sum = 0
    for (let i = block; i < block + count; i++) sum += this.#powers[i % RING_BLOCKS]!
    return sum / count
  }

  #cut(from: number, count: number): Float32Array {
    const cut = new Float32Array(count)
    for (let i = 0; i < count; i++) cut[i] = this.#sound[(from + i) % RING]!
    return cut
  }
}
