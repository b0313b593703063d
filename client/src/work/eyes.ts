/** Which steps and readings of a job ask for eyes. Pure. */
import { compare, isDecimal, within } from '../procedure/decimals'
import type { ReadingRecord, StepRecord } from './record'
import * as words from '../words/en/work/eyes'
import { t } from '../words/message'

export const needsEyes = ({ seal, failures, passes, gaps, questions, readings }: StepRecord): boolean =>
  seal === 'broken' ||
  seal === 'passed' ||
  failures.length > 0 ||
  passes.length > 0 ||
  gaps.length > 0 ||
  questions.some(({ settled }) => !settled) ||
  readings.some((reading) => reading.was !== null || verdictOf(reading) === 'outside')

/** This part of its window from a limit, a reading is close to it: the owner's review asks for a tenth. */
const CLOSE = 0.1

/** Where a reading stands to its limits; null where there is nothing to compare. */
export function verdictOf({
  value,
  says,
  low,
  high,
}: Pick<ReadingRecord, 'value' | 'says' | 'low' | 'high'>): 'outside' | 'close' | 'inside' | null {
  if (says !== null || !isDecimal(value) || (low === undefined && high === undefined)) return null
  if (!within(value, low, high)) return 'outside'
  if (low === undefined || high === undefined || compare(low, high) === 0) return 'inside'
  const nearest = Math.min(Number(value) - Number(low), Number(high) - Number(value))
  return nearest < CLOSE * (Number(high) - Number(low)) ? 'close' : 'inside'
}

/** Figures that have a window: those outside it first, then the close ones, then the others in the order of the work. */
export function figuresOf(
  steps: readonly StepRecord[],
): { step: StepRecord; reading: ReadingRecord; verdict: 'outside' | 'close' | 'inside' }[] {
  const rank = { outside: 0, close: 1, inside: 2 }
  return steps
    .flatMap((step) =>
      step.readings.flatMap((reading) => {
        const verdict = verdictOf(reading)
        return verdict === null ? [] : [{ step, reading, verdict }]
      }),
    )
    .sort((a, b) => rank[a.verdict] - rank[b.verdict])
}

/** 'limits 24.96 to 27.04', 'at most 40'. */
export function limitWords({ low, high, unit }: Pick<ReadingRecord, 'low' | 'high' | 'unit'>): string {
  const of = unit === '' || unit === '1' ? '' : ` ${unit}`
  if (low !== undefined && high !== undefined)
    return low === high ? t(words.askedFor, { low, of }) : t(words.limitsTo, { low, high, of })
  return low === undefined ? t(words.atMost, { high: high ?? '', of }) : t(words.atLeast, { low, of })
}
