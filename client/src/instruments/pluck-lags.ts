/**
 * Three witnesses of a pitch that look for a period, not for a comb of modes.
 *
 * They are biased by a belt's stiffness, so they never give the answer; but they fail in other ways than the comb
 * does, and where two of three are near it, the comb has not lost its way. Twin of pluck_lags.py.
 *
 *     MPM   McLeod, Wyvill: A smarter way to find pitch, ICMC 2005
 *     YIN   de Cheveigné, Kawahara: YIN, JASA 111 (2002) 1917
 *     ACF   the highest peak of the autocorrelation
 */
import { dot, RATE_HZ, type Samples } from './pluck-front'

/** The range that is searched in the open, Hz. */
export const LOW_HZ = 25
export const HIGH_HZ = 450
/** Lags, in samples. */
const LONGEST = RATE_HZ / LOW_HZ
/** 500 Hz: the parabola needs a sample beyond 450 Hz. */
const SHORTEST = 8
const MPM_SHARE = 0.85
const YIN_THRESHOLD = 0.2
const YIN_SAMPLES = 960

/** What MPM, YIN and ACF read, Hz; 0 where one reads nothing. */
export type Lags = [number, number, number]

/** Where, in -0.5 to 0.5, the parabola through three points has its vertex. */
export function parabola(left: number, middle: number, right: number): number {
  const bend = left - 2 * middle + right
  return bend === 0 ? 0 : Math.max(-0.5, Math.min(0.5, (0.5 * (left - right)) / bend))
}

const ofLags = (value: (lag: number) => number): Samples =>
  Float64Array.from({ length: LONGEST + 2 }, (_, lag) => value(lag))

/** McLeod's normalised square difference function. */
export function similarity(part: Samples): Samples {
  return ofLags((lag) => {
    const count = part.length - lag
    const energy = dot(part, 0, part, 0, count) + dot(part, lag, part, lag, count)
    return energy > 0 ? (2 * dot(part, 0, part, lag, count)) / energy : 0
  })
}

/** The lags of the local maxima above zero. */
export function peaks(values: Samples): number[] {
  const found: number[] = []
  for (let lag = SHORTEST; lag <= LONGEST; lag++) {
    const value = values[lag]!
    if (value > 0 && values[lag - 1]! < value && value >= values[lag + 1]!) found.push(lag)
  }
  return found
}

export const hzAt = (values: Samples, lag: number): number =>
  RATE_HZ / (lag + parabola(values[lag - 1]!, values[lag]!, values[lag + 1]!))

const highest = (values: Samples, found: number[]): number =>
  found.reduce((best, lag) => (values[lag]! > values[best]! ? lag : best))

/** The first peak that reaches a share of the highest. */
function mpm(part: Samples): number {
  const values = similarity(part)
  const found = peaks(values)
  if (found.length === 0) return 0
  const enough = MPM_SHARE * values[highest(values, found)]!
  return hzAt(values, found.find((lag) => values[lag]! >= enough)!)
}

/** The highest peak of the autocorrelation, which falls with the lag. */
function acf(part: Samples): number {
  const values = ofLags((lag) => dot(part, 0, part, lag, part.length - lag))
  const found = peaks(values)
  return found.length === 0 ? 0 : hzAt(values, highest(values, found))
}

/** The first dip below the threshold, else the deepest one. */
function yin(part: Samples): number {
  const width = Math.min(YIN_SAMPLES, part.length) - LONGEST - 1
  if (width < 1) return 0
  let sum = 0
  const mean = ofLags((lag) => {
    let difference = 0
    for (let i = 0; i < width; i++) difference += (part[i]! - part[i + lag]!) ** 2
    sum += difference
    return lag > 0 && sum > 0 ? (difference * lag) / sum : 1
  })
  const dips = peaks(mean.map((value) => 2 - value))
  if (dips.length === 0) return 0
  const negative = mean.map((value) => -value)
  return hzAt(negative, dips.find((lag) => mean[lag]! < YIN_THRESHOLD) ?? highest(negative, dips))
}

export const witnesses = (part: Samples): Lags => [mpm(part), yin(part), acf(part)]
