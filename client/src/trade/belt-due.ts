/**
 * Is the belt of a vehicle due, by what the caller knows: a verdict, and the warning in writing.
 * The twin of `server/twoturns/trade/belt_due.py`, which says why and names the sources.
 */
import {
  due,
  forecast,
  monthsLater,
  whyDue,
  type Due,
  type Forecast,
  type Interval,
  type Reading,
} from './interval'
import * as words from '../words/en/trade/belt_due'
import { t } from '../words/message'

const SOON_MONTHS = 3
const SOON_KM = 5000
/** Stands for a day that is not known: what follows from it is thrown away. */
const SOME_DAY = '2000-01-01'

/** When the belt was fitted, as far as it is known. */
export interface Fitted {
  on?: string
  km?: number
}

export interface Verdict {
  code: 'overdue' | 'belt_unknown' | 'interval_unknown' | 'soon' | 'later'
  says: string
  limit: Due
  found: Forecast | null
}

/** Judge a belt by what is known of it, and by readings of the vehicle's odometer. */
export function judgeBelt(
  fitted: Fitted,
  interval: Interval | null,
  readings: readonly Reading[],
  today: string,
): Verdict {
  const nothing = { limit: { km: null, on: null }, found: null }
  if (interval === null) return { code: 'interval_unknown', says: t(words.intervalUnknown), ...nothing }
  const limit = limitOf(fitted, interval)
  if (limit.km === null && limit.on === null)
    return { code: 'belt_unknown', says: t(words.beltUnknown), ...nothing }
  const { on, km } = fitted
  const known = [...readings, ...(on !== undefined && km !== undefined ? [{ on, km }] : [])]
  const found = forecast(limit, known, today)
  const because = whyDue(limit, known, today)
  if (because !== null) return { code: 'overdue', says: because, limit, found }
  if (isSoon(limit, found, known, today))
    return { code: 'soon', says: t(words.soon, { months: SOON_MONTHS, km: SOON_KM }), limit, found }
  return { code: 'later', says: later(found), limit, found }
}

/** Where the belt ends, by the parts of the interval whose beginning is known. */
function limitOf({ on, km }: Fitted, interval: Interval): Due {
  const whole = due(km ?? 0, on ?? SOME_DAY, interval)
  return { km: km === undefined ? null : whole.km, on: on === undefined ? null : whole.on }
}

function isSoon(limit: Due, found: Forecast, readings: readonly Reading[], today: string): boolean {
  const most = Math.max(0, ...readings.map(({ km }) => km))
  if (limit.km !== null && limit.km - most < SOON_KM) return true
  return found.on !== null && found.on < monthsLater(today, SOON_MONTHS)
}

function later({ on, earliest, latest, by }: Forecast): string {
  if (on === null) return t(words.laterByKm)
  if (by === 'date') return t(words.laterByDate, { on })
  return t(words.later, { on, earliest: earliest ?? '', latest: latest ?? '' })
}

/** What the customer is warned of in writing; null where nothing is due. */
export function warning({ code, says }: Verdict, plate: string): string | null {
  if (code === 'later' || code === 'interval_unknown') return null
  return t(words.warning, { why: says, plate, known: plate !== '' })
}
