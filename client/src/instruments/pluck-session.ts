/**
 * Three plucks, their median, and what it says about the belt. Pure: a screen holds a `Session` and gives it each pluck.
 *
 * The spread of three catches what a room or a noise does to one. It cannot catch a wrong octave, which repeats: that
 * is caught on each pluck, and a span that goes on fitting two readings blocks.
 */
import type { Pluck } from './pluck'
import * as words from '../words/en/instruments/pluck-session'
import { t } from '../words/message'

/** The bundle's window for the span, decimals as they stand there, Hz. */
export interface Window {
  low: string
  high: string
  nominal: string
}

/** One pluck and the 2 s of sound it was heard in. */
export interface Heard {
  pluck: Pluck
  clip: Int16Array
}

/** What the mechanic reads: the fact first, then what to do. */
export interface Trouble {
  code: string
  message: string
  hint: string
}

export type Verdict = 'in-range' | 'low' | 'high'

/** `value` is the median, one decimal, Hz; `isNearLimit`: a limit lies within what three plucks can be off. */
export type End =
  | { verdict: Verdict; value: string; isNearLimit: boolean }
  | { verdict: 'cannot-tell'; trouble: Trouble }

export interface Session {
  /** Those that count, at most three. */
  taken: readonly Heard[]
  farInARow: number
  /** Times that three readings differed too much. */
  rounds: number
  /** Why the last pluck does not count, or why three begin anew. */
  trouble: Trouble | null
  end: End | null
}

const PLUCKS = 3
/** (max - min) / median, in percent. */
const MOST_SPREAD_PERCENT = 4
/** Chosen: far from the target so often in a row is no chance. */
const FAR_BLOCKS = 3
/** Chosen: who has plucked nine times takes the reading another way. */
const MOST_ROUNDS = 3
/** Chosen by what was measured (tests/bench/bench_pluck.py): what the median of three may be off. */
export const TOLERANCE_PERCENT = 2

export const NEW_SESSION: Session = { taken: [], farInARow: 0, rounds: 0, trouble: null, end: null }

/** The session after one more pluck; one that has ended stays as it is. */
export function take(session: Session, heard: Heard, window: Window): Session {
  if (session.end) return session
  const { reject } = heard.pluck
  if (reject === 'far') return far(session, heard.pluck)
  if (reject) return { ...session, trouble: troubleOf(heard.pluck) }
  const taken = [...session.taken, heard]
  if (taken.length < PLUCKS) return { ...session, taken, farInARow: 0, trouble: null }
  const read = reading(taken.map(({ pluck }) => milliHz(pluck)))
  if (read.isWide) return differing(session)
  return { ...session, taken, farInARow: 0, trouble: null, end: judged(read.value, window) }
}

function far(session: Session, pluck: Pluck): Session {
  const farInARow = session.farInARow + 1
  if (farInARow < FAR_BLOCKS) return { ...session, farInARow, trouble: troubleOf(pluck) }
  return { ...session, farInARow, trouble: BLOCKED, end: { verdict: 'cannot-tell', trouble: BLOCKED } }
}

function differing(session: Session): Session {
  const rounds = session.rounds + 1
  const begun = { taken: [], farInARow: 0, rounds }
  if (rounds < MOST_ROUNDS) return { ...begun, trouble: DIFFER, end: null }
  return { ...begun, trouble: NEVER_AGREE, end: { verdict: 'cannot-tell', trouble: NEVER_AGREE } }
}

/** What is kept and compared: whole thousandths of a hertz, so that both languages round alike. */
export const milliHz = ({ comb }: Pluck): number => Math.round(comb!.hz * 1_000)

/** The median of three, one decimal, and whether they lie too far apart. */
export function reading(milli: number[]): { value: string; isWide: boolean } {
  const sorted = [...milli].sort((one, other) => one - other)
  const median = sorted[(sorted.length - 1) / 2]!
  const isWide = (sorted.at(-1)! - sorted[0]!) * 100 > MOST_SPREAD_PERCENT * median
  const tenths = Math.floor((median + 50) / 100)
  return { value: `${Math.floor(tenths / 10)}.${tenths % 10}`, isWide }
}

function judged(value: string, { low, high }: Window): End {
  const [hz, from, to] = [value, low, high].map(Number) as [number, number, number]
  const isNearLimit = [from, to].some((limit) => Math.abs(hz / limit - 1) * 100 < TOLERANCE_PERCENT)
  return { verdict: hz < from ? 'low' : hz > to ? 'high' : 'in-range', value, isNearLimit }
}

/** Chosen: a fit near the target that explains so much less than the one in the open is none worth telling. */
const MUCH_WORSE = 0.8

const CLOSER = t(words.noisyHint)

const SAYS = {
  'too-short': {
    message: t(words.cutOff),
    hint: t(words.cutOffHint),
  },
  'no-pluck': {
    message: t(words.notHeard),
    hint: t(words.notHeardHint),
  },
  'too-noisy': { message: t(words.noisy), hint: CLOSER },
  unclear: {
    message: t(words.unclear),
    hint: t(words.unclearHint),
  },
} as const

/** For a screen at which nothing like a pluck arrives: one too soft is never told of. */
export const NOT_HEARD: Trouble = { code: 'no-pluck', ...SAYS['no-pluck'] }

/** Why a pluck does not count, in words. */
export function troubleOf(pluck: Pluck): Trouble {
  const code = pluck.reject!
  if (code !== 'far') return { code, ...SAYS[code] }
  const [one, other] = rivals(pluck)
  const message = other === null ? t(words.far, { one }) : t(words.twoFit, { one, other })
  return { code, message, hint: t(words.farHint) }
}

/** The readings that fit, whole Hz; where both searches agree, the other one is an octave below. */
function rivals({ blind, comb }: Pluck): [number, number | null] {
  if (!comb || comb.score < MUCH_WORSE * blind!.score) return [Math.round(blind!.hz), null]
  const isOne = Math.abs(blind!.hz / comb.hz - 1) < 0.03
  return [Math.round(isOne ? comb.hz / 2 : blind!.hz), Math.round(comb.hz)]
}

const BLOCKED: Trouble = {
  code: 'far-again',
  message: t(words.farAgain),
  hint: t(words.farAgainHint),
}
const DIFFER: Trouble = {
  code: 'differ',
  message: t(words.differ, { mostSpreadPercent: MOST_SPREAD_PERCENT }),
  hint: t(words.differHint),
}
const NEVER_AGREE: Trouble = {
  code: 'never-agree',
  message: t(words.neverAgree),
  hint: t(words.neverAgreeHint),
}
