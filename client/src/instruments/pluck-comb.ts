/**
 * The comb: a belt span's modes, damped and slightly sharp, fitted to the samples by least squares.
 *
 *     f_n = n f sqrt((1 + B n²) / (1 + B)),  each dying out as exp(-pi f n^0.7 t / Q),  n = 1 .. 6
 *
 * f is the first mode as heard. The law of the modes is that of a stiff string (Fletcher, Rossing: The Physics of
 * Musical Instruments, section 2.18). Twin of pluck_comb.py, where each figure says why it was chosen.
 *
 * The columns are sums of powers of one complex number for each mode, so the normal equations are geometric series:
 * only their right side has to be summed over the samples. That makes it some four times as fast on a phone.
 */
import { fftMagnitudes } from './pluck-fft'
import { RATE_HZ, type Samples } from './pluck-front'
import { hzAt, parabola, peaks, similarity } from './pluck-lags'
import { explained, type Modes, type Window } from './pluck-series'

const MODES = 6
const HIGHEST_MODE_HZ = 1_500
const PERIODS = 14
const LONGEST_S = 0.3
/** 4 ms: the finger's click. */
const SKIP_SAMPLES = 16
const DECAY_POWER = 0.7
const MODE_PRICE = 0.004
const GRID_Q = [6, 14, 35]
const GRID_B = [0, 0.006, 0.014]
const KEPT = 5
/** Candidates nearer than this share are one. */
const APART = 0.025
const MERGE = 0.015
const ROUNDS = 6
/** Of ln f, ln Q and B. */
const STEPS = [0.012, 0.4, 0.004] as const
const SMALLER = 0.4
/** Chosen, of ln f: farther off another candidate is nearer. */
const F_SPAN = 0.1
const Q_BETWEEN = [3, 200] as const
const B_BETWEEN = [-0.001, 0.018] as const
const AS_GOOD = 0.97
/** Combs nearer than this share are readings of one pitch. */
const FAMILY = 0.12
/** 300, 120 and 50 ms */
const SPECTRA_SAMPLES = [1_200, 480, 200] as const
/** Chosen: modes between those of a comb, from below its first on; the detunings tried for them. */
const BETWEEN = [0, 1, 2, 3]
const BETWEEN_TUNE = [0.98, 0.99, 1, 1.01, 1.02]
/** Where between two modes an octave below has its own; and where none has. */
const OCTAVE = 0.5
const ELSEWHERE = [0.3, 0.4, 0.6, 0.7]
/** Chosen: below it the noise's own spread is what is told. */
const LEAST_OF_THE_PLUCK = 1 / 3
const FFT_SIZE = 4_096
const LEAST_PEAK = 0.15

/** A fitted comb: first mode, its quality factor, stiffness, share of energy explained less a price for each mode. */
export interface Comb {
  hz: number
  q: number
  b: number
  score: number
}

function modes(hz: number, q: number, b: number): Modes {
  const found: Modes = { decay: [], turn: [] }
  for (let n = 1; n <= MODES; n++) {
    const modeHz = n * hz * Math.sqrt((1 + b * n * n) / (1 + b))
    if (modeHz < HIGHEST_MODE_HZ) add(found, modeHz, (Math.PI * hz * n ** DECAY_POWER) / q)
  }
  return found
}

function add(found: Modes, modeHz: number, decayPerS: number): void {
  found.decay.push(decayPerS / RATE_HZ)
  found.turn.push((2 * Math.PI * modeHz) / RATE_HZ)
}

/** The combs of one pluck: looked for in the open, and near the target; fits are shared. */
export class Search {
  readonly #windows = new Map<number, Window>()
  readonly #coarse = new Map<number, Comb>()
  readonly #refined = new Map<number, Comb>()

  /** `sound` begins at the onset, behind the whitener, which leaves `noisePower` of the noise. */
  constructor(
    private readonly sound: Samples,
    private readonly noisePower: number,
  ) {}

  /** The best combs whose first mode lies between two frequencies, best first. */
  within(lowHz: number, highHz: number, found: number[]): Comb[] {
    const isWithin = (hz: number) => lowHz <= hz && hz <= highHz
    const kept: Comb[] = []
    for (const comb of found
      .filter(isWithin)
      .map((hz) => this.#tried(hz))
      .sort(byScore)) {
      if (kept.length < KEPT && kept.every((other) => Math.abs(comb.hz / other.hz - 1) > APART))
        kept.push(comb)
    }
    return kept
      .map((comb) => this.#climbed(comb))
      .filter(({ hz }) => isWithin(hz))
      .sort(byScore)
  }

  /** How much of a window's energy is not the noise's, a third at least. */
  ofThePluck(hz: number): number {
    const { half, energy } = this.#window(hz)
    const weight = 1.5 * half // of its samples: the first half, and half of the second
    return Math.max(LEAST_OF_THE_PLUCK, energy > 0 ? 1 - (weight * this.noisePower) / energy : 0)
  }

  /**
   * The share of energy that modes between a comb's own explain beyond it, at a share of the way from one to the next.
   *
   * A slack span whose first mode the microphone hardly hears looks like one an octave higher; what gives it away is
   * its third and fifth mode, halfway.
   */
  between(comb: Comb, place = OCTAVE): number {
    const window = this.#window(comb.hz / 2)
    const own = modes(comb.hz, comb.q, comb.b)
    const shares = BETWEEN_TUNE.flatMap((tune) =>
      GRID_Q.map((q) => {
        const both = { decay: [...own.decay], turn: [...own.turn] }
        for (const below of BETWEEN) {
          const n = place + below
          const modeHz = n * comb.hz * tune
          if (modeHz < HIGHEST_MODE_HZ)
            add(both, modeHz, ((Math.PI * comb.hz) / 2) * ((2 * n) ** DECAY_POWER / q))
        }
        return explained(window, both)
      }),
    )
    return Math.max(...shares) - explained(window, own)
  }

  /** The same of places where no octave has modes: their mean. What is found there is a room, or a finger. */
  elsewhere(comb: Comb): number {
    return ELSEWHERE.reduce((sum, place) => sum + this.between(comb, place), 0) / ELSEWHERE.length
  }

  /** The samples from the onset on, weighed: the first half fully, then a raised cosine to 0. */
  #window(hz: number): Window {
    const seconds = Math.min(PERIODS / hz, LONGEST_S)
    const half = Math.min(Math.round((seconds * RATE_HZ) / 2), (this.sound.length - SKIP_SAMPLES) >> 1)
    const held = this.#windows.get(half)
    if (held) return held
    const weighed = this.sound.slice(SKIP_SAMPLES, SKIP_SAMPLES + 2 * half)
    let energy = 0
    for (let i = 0; i < weighed.length; i++) {
      const value = weighed[i]!
      weighed[i] = value * (i < half ? 1 : 0.5 + 0.5 * Math.cos((Math.PI * (i - half)) / half))
      energy += value * weighed[i]!
    }
    const window = { half, weighed, energy }
    this.#windows.set(half, window)
    return window
  }

  #score(window: Window, hz: number, q: number, b: number): number {
    const comb = modes(hz, q, b)
    return explained(window, comb) - MODE_PRICE * comb.turn.length
  }

  #tried(hz: number): Comb {
    const held = this.#coarse.get(hz)
    if (held) return held
    const window = this.#window(hz)
    const tried = GRID_Q.flatMap((q) =>
      GRID_B.map((b): Comb => ({ hz, q, b, score: this.#score(window, hz, q, b) })),
    )
    const best = tried.reduce((top, comb) => (comb.score > top.score ? comb : top))
    this.#coarse.set(hz, best)
    return best
  }

  #climbed(comb: Comb): Comb {
    const held = this.#refined.get(comb.hz)
    if (held) return held
    const window = this.#window(comb.hz)
    const climbed = climb(comb, (hz, q, b) => this.#score(window, hz, q, b))
    this.#refined.set(comb.hz, climbed)
    return climbed
  }
}

const byScore = (one: Comb, other: Comb) => other.score - one.score

/** Climb by steps in ln f, ln Q and B, each with a try at its parabola's top. */
function climb(comb: Comb, scoreOf: (hz: number, q: number, b: number) => number): Comb {
  const at = [Math.log(comb.hz), Math.log(comb.q), comb.b]
  const lowest = [at[0]! - F_SPAN, Math.log(Q_BETWEEN[0]), B_BETWEEN[0]]
  const most = [at[0]! + F_SPAN, Math.log(Q_BETWEEN[1]), B_BETWEEN[1]]
  const steps: number[] = [...STEPS]
  let best = comb.score
  for (let round = 0; round < ROUNDS; round++) {
    let hasMoved = false
    for (const axis of [0, 1, 2] as const) {
      const tryAt = (shift: number): { score: number; where: number } => {
        const where = Math.min(Math.max(at[axis]! + shift * steps[axis]!, lowest[axis]!), most[axis]!)
        const [lnHz, lnQ, b] = at.map((value, i) => (i === axis ? where : value)) as [number, number, number]
        return { score: scoreOf(Math.exp(lnHz), Math.exp(lnQ), b), where }
      }
      const ends = [tryAt(-1), tryAt(1)]
      ends.push(tryAt(parabola(ends[0]!.score, best, ends[1]!.score)))
      const top = ends.reduce((one, other) => (other.score > one.score ? other : one))
      if (top.score > best + 1e-9) {
        best = top.score
        at[axis] = top.where
        hasMoved = true
      }
    }
    if (!hasMoved) for (const axis of [0, 1, 2]) steps[axis]! *= SMALLER
  }
  return { hz: Math.exp(at[0]!), q: Math.exp(at[1]!), b: at[2]!, score: best }
}

/**
 * The highest comb that explains almost as much as the best: a lower one always can.
 *
 * "Highest" chooses between octaves and the like, so of those near it the best one is taken.
 */
export function answer(combs: Comb[]): Comb | null {
  const best = combs[0]
  if (!best || best.score <= 0) return null
  const top = Math.max(...combs.filter(({ score }) => score >= AS_GOOD * best.score).map(({ hz }) => hz))
  return combs.find(({ hz }) => Math.abs(hz / top - 1) < FAMILY)!
}

/** First modes worth a fit: strong peaks of three spectra with their halves and thirds, and periods. */
export function candidates(sound: Samples, lowHz: number, highHz: number): number[] {
  const found: number[] = []
  for (const hz of [...spectrumPeaks(sound), ...periodPeaks(sound)]) {
    const isNear = found.some((other) => Math.abs(hz / other - 1) < MERGE)
    if (lowHz <= hz && hz <= highHz && !isNear) found.push(hz)
  }
  return found
}

function spectrumPeaks(sound: Samples): number[] {
  return SPECTRA_SAMPLES.flatMap((length) => {
    const part = sound.slice(0, length)
    for (let i = 0; i < part.length; i++) part[i]! *= 0.5 + 0.5 * Math.cos((Math.PI * i) / part.length)
    const size = fftMagnitudes(part, FFT_SIZE)
    const tops: number[] = []
    for (let at = 20; at < (HIGHEST_MODE_HZ * FFT_SIZE) / RATE_HZ; at++) {
      if (size[at - 1]! < size[at]! && size[at]! >= size[at + 1]!) tops.push(at)
    }
    tops.sort((one, other) => size[other]! - size[one]!)
    return tops
      .slice(0, KEPT)
      .filter((at) => size[at]! >= LEAST_PEAK * size[tops[0]!]!)
      .map((at) => ((at + parabola(size[at - 1]!, size[at]!, size[at + 1]!)) * RATE_HZ) / FFT_SIZE)
      .flatMap((hz) => [hz, hz / 2, hz / 3])
  })
}

function periodPeaks(sound: Samples): number[] {
  const values = similarity(sound.subarray(0, SPECTRA_SAMPLES[0]))
  const tops = peaks(values).sort((one, other) => values[other]! - values[one]!)
  return tops.slice(0, KEPT).map((lag) => hzAt(values, lag))
}
