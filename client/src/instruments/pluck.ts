/**
 * The pitch of a plucked belt span from a clip, or the reason why it cannot be told. Pure.
 *
 * A clip is 2 s at 48 kHz, the pluck somewhere in it with quiet before it. Two searches must agree: one in the open
 * (25 to 450 Hz) and one near the target. The one near the target alone would take the octave of a belt at a quarter
 * of its tension for the target; then the clip is rejected as `far`. Twin of server/twoturns/instruments/pluck.py, which computes readings
 * anew; what was measured: tests/bench/bench_pluck.py.
 *
 * pluck-front (rate, noise, onset), pluck-comb (the fit), pluck-lags (its witnesses), pluck-session (three plucks and
 * a verdict), pluck-sheet (what is kept), pluck-watch (plucks out of a stream), pluck-listen (the microphone).
 */
import { answer, candidates, type Comb, Search } from './pluck-comb'
import {
  CLIP_HZ,
  decimate,
  filtered,
  findOnset,
  LEAST_SAMPLES,
  noiseOf,
  power,
  powerLeft,
  RATE_HZ,
  whitener,
} from './pluck-front'
import { HIGH_HZ, type Lags, LOW_HZ, witnesses } from './pluck-lags'

/** Of the estimator: a change of any figure in it is a new edition. The second takes all that the first took, and more. */
export const EDITION = 2
/** Pure noise stays below 6. */
const LEAST_STRENGTH = 8
const LEAST_SCORE = 0.45
const WITNESS_SHARE = 0.08
const SAME_SHARE = 0.03
const LOWER_RIVAL = 0.7
/**
 * Chosen on the bench's slack belts: a lower comb that explains so much of what the answer does, and what lies between its modes: each alone, or less of
 * both, says that the answer may be an octave of the truth.
 */
const HINTS_OF_AN_OCTAVE = [
  [1.004, -1],
  [0, 0.04],
  [0.98, 0.02],
] as const
/**
 * Of a pluck that counts although one of the rules before objects, chosen on the bench's training seeds: its comb may
 * explain less where all three witnesses are nearer to it, and what lies an octave between its modes is hardly more than
 * what lies elsewhere between them.
 */
/** Of what is not the noise's. */
const PLAIN_SCORE = 0.6
const PLAIN_WITNESS_SHARE = 0.05
const PLAIN_BETWEEN = 1.1
/** 0.3 s */
const WINDOW_SAMPLES = 1_200
/** 6 ms at 4 kHz */
const WITNESS_SKIP = 24
const CLIPPED_AT = 32_766 / 32_768
const CLIPPED_SHARE = 0.01

/** Why a pluck does not count; `TROUBLE` in pluck-session has the words. */
type Reject = 'too-short' | 'no-pluck' | 'too-noisy' | 'unclear' | 'far'

/** One pluck: what was heard, and `reject` where it does not count. */
export interface Pluck {
  reject: Reject | null
  /** How far it stands out of what came before; noise alone stays below 6. */
  strength: number
  /** The answer: near the target. Null where nothing was fitted. */
  comb: Comb | null
  /** The answer of the search in the open. */
  blind: Comb | null
  lags: Lags
  onsetS: number
  /** Too loud for the microphone: it alone harms little, so it only warns. */
  isClipped: boolean
}

const NOTHING: Pluck = {
  reject: null,
  strength: 0,
  comb: null,
  blind: null,
  lags: [0, 0, 0],
  onsetS: 0,
  isClipped: false,
}

/** A span of frequencies, Hz. */
export type Range = readonly [low: number, high: number]

const OPEN: Range = [LOW_HZ, HIGH_HZ]

/** Where a span is looked for whose reading should lie in a window: what bounds it, in Hz. */
export const nearRange = (low: number, high: number, nominal: number): Range => [
  Math.min(low, 0.62 * nominal),
  Math.max(high, 1.6 * nominal),
]

/** `samples` at 48 kHz, full scale 1; `near` where the bundle expects the span, null to search in the open only. */
export function estimate(samples: ArrayLike<number>, near: Range | null): Pluck {
  const slow = decimate(samples)
  if (slow.length < LEAST_SAMPLES) return { ...NOTHING, reject: 'too-short' }
  const onset = findOnset(slow)
  const heard = { ...NOTHING, strength: onset.strength, onsetS: onset.at / RATE_HZ }
  if (onset.strength < LEAST_STRENGTH) return { ...heard, reject: 'no-pluck' }
  const raw = slow.subarray(onset.at, onset.at + WITNESS_SKIP + WINDOW_SAMPLES)
  if (raw.length < WITNESS_SKIP + WINDOW_SAMPLES) return { ...heard, reject: 'too-short' }
  const noise = noiseOf(slow)
  const taps = whitener(noise, 0.001 * power(raw.subarray(0, WINDOW_SAMPLES)))
  const sound = filtered(slow, taps).subarray(onset.at)
  const lags = witnesses(raw.subarray(WITNESS_SKIP))
  return {
    ...heard,
    ...searched(sound, powerLeft(noise, taps), lags, near ?? OPEN),
    lags,
    isClipped: isClipped(samples, heard.onsetS),
  }
}

/** More than one in a hundred samples of the first 50 ms are at full scale. */
function isClipped(samples: ArrayLike<number>, onsetS: number): boolean {
  const from = Math.round(onsetS * CLIP_HZ)
  const count = CLIP_HZ / 20
  let clipped = 0
  for (let i = from; i < from + count; i++) if (Math.abs(samples[i]!) >= CLIPPED_AT) clipped++
  return clipped > CLIPPED_SHARE * count
}

function searched(
  sound: Float64Array,
  noisePower: number,
  lags: Lags,
  near: Range,
): Pick<Pluck, 'reject' | 'comb' | 'blind'> {
  const search = new Search(sound, noisePower)
  const found = candidates(sound, ...OPEN)
  const combs = search.within(...OPEN, found)
  const blind = answer(combs)
  const comb = answer(search.within(...near, found))
  const objection = objectionTo(search, combs, blind, comb, lags)
  const isTold = objection && blind && comb && isPlain(search, blind, comb, lags)
  return { reject: isTold ? null : objection, comb, blind }
}

/** What the first edition's rules say against a pluck. */
function objectionTo(
  search: Search,
  combs: Comb[],
  blind: Comb | null,
  comb: Comb | null,
  lags: Lags,
): Reject | null {
  if (!blind || blind.score < LEAST_SCORE) return 'too-noisy'
  if (agreeing(lags, blind.hz) < 2) return 'unclear'
  if (!comb || !isSame(blind, comb)) return 'far'
  if (comb.score < LEAST_SCORE) return 'too-noisy'
  if (agreeing(lags, comb.hz) < 2) return 'unclear'
  const lower = Math.max(0, ...combs.filter(({ hz }) => hz < LOWER_RIVAL * comb.hz).map(({ score }) => score))
  const between = search.between(comb)
  const isDoubtful = HINTS_OF_AN_OCTAVE.some(([rival, most]) => lower >= rival * comb.score && between > most)
  return isDoubtful ? 'far' : null
}

/**
 * Noise takes of what a comb explains, and a room leaves something between its modes at every place: neither speaks
 * against a note that all three witnesses read.
 */
const isPlain = (search: Search, blind: Comb, comb: Comb, lags: Lags): boolean =>
  (isSame(blind, comb) || comb.score >= blind.score) &&
  comb.score >= PLAIN_SCORE * search.ofThePluck(comb.hz) &&
  agreeing(lags, comb.hz, PLAIN_WITNESS_SHARE) === lags.length &&
  search.between(comb) <= PLAIN_BETWEEN * search.elsewhere(comb)

const isSame = (blind: Comb, comb: Comb): boolean => Math.abs(blind.hz / comb.hz - 1) <= SAME_SHARE

const agreeing = (lags: Lags, hz: number, share = WITNESS_SHARE): number =>
  lags.filter((lag) => Math.abs(lag / hz - 1) <= share).length
