/** When the belt is due again, counted from what this very job read: its day and its odometer. Pure. */
import type { Interval } from '../procedure/shape'
import { isoDay } from './format'

export interface Due {
  /** YYYY-MM-DD; null where the job's own day is not known. */
  day: string | null
  /** Null where no odometer was read. */
  km: number | null
}

/**
 * A day so many months later, at the month's end where it has no such day.
 * Source: TC39 Temporal, PlainDate.prototype.add with overflow "constrain", its default.
 *
 * @param day YYYY-MM-DD
 */
export function addMonths(day: string, months: number): string {
  const [year = 0, month = 1, date = 1] = day.split('-').map(Number)
  const at = year * 12 + (month - 1) + months
  const last = new Date(Date.UTC(Math.floor(at / 12), (at % 12) + 1, 0))
  last.setUTCDate(Math.min(date, last.getUTCDate()))
  return last.toISOString().slice(0, 10)
}

/** The day of a moment by this device's clock; null for a clock that names none. */
export const dayOfMoment = (at: string): string | null =>
  Number.isNaN(Date.parse(at)) ? null : isoDay(new Date(at))

/** Whichever comes first. `odometerKm` of 0 is an odometer that nobody read. */
export const dueOf = ({ months, km }: Interval, odometerKm: number, day: string | null): Due => ({
  day: day === null ? null : addMonths(day, months),
  km: odometerKm > 0 ? odometerKm + km : null,
})
