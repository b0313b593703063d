/**
 * From a recorded clip to the pluck in it: rate, noise, the moment it begins.
 *
 * Twin of server/twoturns/instruments/pluck_front.py, step by step and figure by figure: what the phone
 * accepts, the workshop and an auditor must accept, too. Figures without a source were chosen on synthetic
 * belts and real strings (tests/bench/bench_pluck.py); they are nobody's published values.
 */

/** Rate of a clip. */
export const CLIP_HZ = 48_000
/** Rate the estimator works at: a belt span's lowest modes lie below 1.5 kHz. */
export const RATE_HZ = 4_000
const STEP = CLIP_HZ / RATE_HZ
const HALF_TAPS = 120
const CUT_HZ = 1_800
const KAISER_BETA = 8
/** Of the noise model. */
const ORDER = 24
/** 0.3 s */
const NOISE_SAMPLES = 1_200
/** 0.1 s: none of a noise's three may be silent, */
const NOISE_STEP = 400
/** nor so much louder than another: that would be a belt ringing out. */
const STEADY = 3
/** A rise is measured against the 90 ms before it. */
const BEFORE_SAMPLES = 360
/** 10, 30 and 90 ms */
const RISE_SAMPLES = [40, 120, 360]
/** 0.5 s: a shorter clip holds no pluck with the quiet before it. */
export const LEAST_SAMPLES = 2_000
/** Power added to a noise model, so that digital silence has one. */
const SILENCE = 1e-14
/** Power; the last bit of 16 has more. */
const NO_SOUND = 1e-13
/** What the decimation of a clip that breaks off spoils at its end. */
const EDGE_SAMPLES = 12

export type Samples = Float64Array

/** Where a pluck begins, in samples at 4 kHz, and how far it stands out of what came before. */
interface Onset {
  at: number
  strength: number
}

/** The modified Bessel function of the first kind of order 0: its power series. */
function besselI0(x: number): number {
  let term = 1
  let sum = 1
  for (let k = 1; term > 1e-17 * sum; k++) {
    term *= (x / (2 * k)) ** 2
    sum += term
  }
  return sum
}

function lowPass(): Samples {
  const taps = Float64Array.from({ length: 2 * HALF_TAPS + 1 }, (_, i) => {
    const at = i - HALF_TAPS
    const x = ((2 * CUT_HZ) / CLIP_HZ) * at * Math.PI
    const sinc = at === 0 ? 1 : Math.sin(x) / x
    return sinc * besselI0(KAISER_BETA * Math.sqrt(1 - (at / HALF_TAPS) ** 2))
  })
  const sum = taps.reduce((total, tap) => total + tap, 0)
  return taps.map((tap) => tap / sum)
}

const LOW_PASS = /* @__PURE__ */ lowPass() // only the worker needs it: the page leaves it out

/** The sum of products of `count` samples from two places. */
export function dot(a: Samples, aFrom: number, b: Samples, bFrom: number, count: number): number {
  let sum = 0
  for (let i = 0; i < count; i++) sum += a[aFrom + i]! * b[bFrom + i]!
  return sum
}

/** A clip at 4 kHz, without its mean: a microphone may have one. */
export function decimate(samples: ArrayLike<number>): Samples {
  const slow = new Float64Array(Math.floor(samples.length / STEP))
  for (let i = 0; i < slow.length; i++) {
    const first = i * STEP - HALF_TAPS
    const from = Math.max(0, -first)
    const to = Math.min(LOW_PASS.length, samples.length - first)
    let sum = 0
    for (let k = from; k < to; k++) sum += LOW_PASS[k]! * samples[first + k]!
    slow[i] = sum
  }
  const mean = slow.reduce((sum, value) => sum + value, 0) / slow.length
  return slow.map((value) => value - mean)
}

/**
 * The clip's first 0.3 s; where they hold a pluck or digital silence, its quietest 0.3 s.
 *
 * A recorder that starts late or pads a clip leaves zeros, which are nobody's noise.
 */
export function noiseOf(slow: Samples): Samples {
  const blocks = Math.floor(slow.length / NOISE_STEP)
  const powers = Array.from({ length: blocks }, (_, block) =>
    variance(slow.subarray(block * NOISE_STEP, (block + 1) * NOISE_STEP)),
  )
  const sums = powers.slice(2).map((power, block) => noisePower([powers[block]!, powers[block + 1]!, power]))
  const quietest = sums.indexOf(Math.min(...sums))
  const first = sums[quietest]! < sums[0]! / 4 ? quietest * NOISE_STEP : 0
  return slow.subarray(first, first + NOISE_SAMPLES)
}

/** Of what is no noise that a pluck could stand out of: infinite. */
function noisePower(three: [number, number, number]): number {
  const least = Math.min(...three)
  const isNoise = least > NO_SOUND && Math.max(...three) < STEADY * least
  return isNoise ? three[0] + three[1] + three[2] : Infinity
}

function variance(part: Samples): number {
  const mean = part.reduce((sum, value) => sum + value, 0) / part.length
  return part.reduce((sum, value) => sum + (value - mean) ** 2, 0) / part.length
}

export const power = (part: Samples): number => dot(part, 0, part, 0, part.length) / part.length

/**
 * The FIR that makes the noise white: autocorrelation method, Levinson-Durbin.
 *
 * A FIR keeps damped exponentials damped exponentials, so the comb can be fitted behind it.
 * `extraPower` bounds how deep it may dig at the noise's own tones, which a belt may share.
 */
export function whitener(noise: Samples, extraPower: number): Samples {
  const lags = Float64Array.from(
    { length: ORDER + 1 },
    (_, lag) => dot(noise, 0, noise, lag, noise.length - lag) / noise.length,
  )
  lags[0]! += extraPower + SILENCE
  let taps = new Float64Array(ORDER + 1)
  taps[0] = 1
  let left = lags[0]!
  for (let order = 1; order <= ORDER; order++) {
    let sum = 0
    for (let i = 0; i < order; i++) sum += taps[i]! * lags[order - i]!
    const mirror = -sum / left
    const next = taps.slice()
    for (let i = 0; i <= order; i++) next[i]! += mirror * taps[order - i]!
    taps = next
    left *= 1 - mirror * mirror
  }
  return taps
}

/** The power of a noise behind its whitener, where the filter has seen enough of it. */
export const powerLeft = (noise: Samples, taps: Samples): number =>
  power(filtered(noise, taps).subarray(ORDER))

export function filtered(slow: Samples, taps: Samples): Samples {
  return slow.map((_, i) => {
    let sum = 0
    for (let k = Math.min(i, taps.length - 1); k >= 0; k--) sum += taps[k]! * slow[i - k]!
    return sum
  })
}

/** Sums of all that comes before each place. */
function runningSums(values: Samples): Samples {
  const sums = new Float64Array(values.length + 1)
  for (let i = 0; i < values.length; i++) sums[i + 1] = sums[i]! + values[i]!
  return sums
}

/**
 * The steepest rise of energy over the noise.
 *
 * `sqrt(L) ln(E after / E before)` for L of 10, 30 and 90 ms: the logarithm of a ratio of energies of noise has a
 * spread of about 1/sqrt(L), so one threshold fits all three.
 */
export function findOnset(slow: Samples): Onset {
  const noise = noiseOf(slow)
  const taps = whitener(noise, 0.001 * power(noise))
  const energy = filtered(slow, taps).map((value) => value * value)
  const floor = powerLeft(noise, taps) + 1e-20
  energy.fill(floor, 0, ORDER).fill(floor, -EDGE_SAMPLES) // the filters have not seen enough there
  const padded = new Float64Array(BEFORE_SAMPLES + energy.length).fill(floor) // before the clip there was noise
  padded.set(energy, BEFORE_SAMPLES)
  const sums = runningSums(padded)
  let best: Onset = { at: 0, strength: -Infinity }
  for (const length of RISE_SAMPLES) {
    for (let at = 0; at <= energy.length - length; at++) {
      const middle = sums[at + BEFORE_SAMPLES]!
      const before = (middle - sums[at]!) / BEFORE_SAMPLES
      const after = (sums[at + BEFORE_SAMPLES + length]! - middle) / length
      const strength = Math.sqrt(length) * Math.log(Math.max(after, 1e-20) / Math.max(before, floor))
      if (strength > best.strength) best = { at, strength }
    }
  }
  return { at: refined(energy, best.at, floor), strength: best.strength }
}

/** The first 4 ms around a rise that hold a quarter of the power of its loudest 4 ms. */
function refined(energy: Samples, at: number, floor: number): number {
  const first = Math.max(0, at - 40)
  const sums = runningSums(energy.subarray(first, at + 376))
  const means = Array.from(
    { length: Math.max(0, sums.length - 16) },
    (_, i) => (sums[i + 16]! - sums[i]!) / 16,
  )
  const top = Math.max(...means)
  const enough = Math.min(top, Math.max(6 * floor, top / 4))
  return means.length === 0 ? at : first + means.findIndex((mean) => mean >= enough)
}
