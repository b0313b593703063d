/** What an owner looks at, out of the figures that the workshop adds up. Pure. */
import type { FiguresAnswer, StepRow } from '../ledger/answers'

/** A share in whole per cent; null of nothing. */
export const shareOf = (part: number, whole: number): number | null =>
  whole === 0 ? null : Math.round((100 * part) / whole)

/** Where the time goes: the steps that take longest by their middle, the longest first. */
export const longest = (steps: readonly StepRow[], most: number): StepRow[] =>
  steps
    .filter(({ minutes }) => minutes !== null)
    .sort((a, b) => b.minutes! - a.minutes!)
    .slice(0, most)

/** Where work is done twice: the steps that did not hold or were opened again, the most often first. */
export const mostRedone = (steps: readonly StepRow[], most: number): StepRow[] =>
  steps
    .filter(({ failed, again }) => failed + again > 0)
    .sort((a, b) => b.failed + b.again - (a.failed + a.again))
    .slice(0, most)

export interface Totals {
  jobs: number
  firstTimeRight: number
  comebacks: number
  readings: number
}

export function totalsOf({ months, counts }: FiguresAnswer): Totals {
  const sum = (pick: (month: FiguresAnswer['months'][number]) => number) =>
    months.reduce((total, month) => total + pick(month), 0)
  return {
    jobs: sum(({ jobs }) => jobs),
    firstTimeRight: sum(({ first_time_right: right }) => right),
    comebacks: sum(({ comebacks }) => comebacks),
    readings: counts.measured + counts.read + counts.said,
  }
}
