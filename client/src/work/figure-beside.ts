/** One figure beside another: what was read off the old part, and off the new. */
import { compare } from '../procedure/decimals'
import type { Proof } from '../procedure/bundle'
import type { JobNow } from './job'
import { withUnit } from './limits'
import * as words from '../words/en/work/figure-beside'
import { t } from '../words/message'

export interface Beside {
  label: string
  /** What was read there; null while nothing that still counts was. */
  value: string | null
}

/** The figure that a proof is held against; null where the procedure names none. */
export function besideOf({ steps, held }: Pick<JobNow, 'steps' | 'held'>, { like }: Proof): Beside | null {
  const [step, name] = (like ?? '').split('.')
  const other = steps.find((each) => each.step.id === step)?.proofs.find(({ proof }) => proof.name === name)
  if (!other) return null
  const entry = held.find((each) => each.entry.id === other.entry)?.entry
  return { label: other.proof.label, value: entry?.kind === 'reading.taken' ? entry.body.value : null }
}

const places = (value: string) => value.split('.')[1]?.length ?? 0

/** How far apart two figures are, as a decimal. */
export const apart = (a: string, b: string): string =>
  Math.abs(Number(a) - Number(b)).toFixed(Math.max(places(a), places(b)))

/**
 * Whether two figures say two things. Counted ones must be the same; a worn part and a new one may lie
 * half a window apart (common practice, no source).
 */
export function differ(a: string, b: string, { kind, low, high }: Proof): boolean {
  if (kind === 'count' || low === undefined || high === undefined) return compare(a, b) !== 0
  return Math.abs(Number(a) - Number(b)) > (Number(high) - Number(low)) / 2
}

/** 'the same', '0.3 mm apart' */
export const apartWords = (a: string, b: string, unit?: string): string =>
  compare(a, b) === 0 ? t(words.same) : t(words.apart, { by: withUnit(apart(a, b), unit) })
