/**
 * When a belt is due: by distance or by date, whichever comes first, and a forecast from readings.
 * The twin of `server/twoturns/trade/interval.py`, which says more and names the sources. Days are `YYYY-MM-DD`.
 */
import * as words from '../words/en/trade/interval'
import { t } from '../words/message'

const MOST_KM_A_DAY = 1500
const KM_PER_MILE = 1.609344
const MILES_WITHIN = 0.02
const [BAND_PART, BAND_DAYS] = [0.25, 15] // chosen: see the twin
const FAR = 36525
const DAY_MS = 86_400_000 // by definition

/** What the maker asks for: distance, time or both. `severe`: the part of it in hard use, above 0 and at most 1. */
export interface Interval {
  km?: number
  months?: number
  severe?: number
}
/** Where a belt ends. Null: the interval does not limit that. */
export interface Due {
  km: number | null
  on: string | null
}
/** An odometer read on a day, km. */
export interface Reading {
  on: string
  km: number
}
/** A reading, or two, that cannot be as it stands. */
export interface Oddity {
  code: 'odometer-backward' | 'odometer-inconsistent' | 'odometer-fast' | 'odometer-miles' | 'odometer-lower'
  says: string
}
/** When a belt will be due: the day, between which days, and which limit comes first. */
export interface Forecast {
  on: string | null
  earliest: string | null
  latest: string | null
  by: 'distance' | 'date' | 'unknown'
  km_a_day: number | null
  oddities: Oddity[]
}

const dayNumber = (day: string) => Date.parse(`${day}T00:00:00Z`) / DAY_MS
const dayOf = (n: number) => new Date(n * DAY_MS).toISOString().slice(0, 10)

/** Where a belt fitted then ends. */
export function due(lastKm: number, lastOn: string, { km, months, severe = 1 }: Interval): Due {
  return {
    km: km === undefined ? null : lastKm + part(km, severe),
    on: months === undefined ? null : monthsLater(lastOn, part(months, severe)),
  }
}

/** The same day so many months later, or the last of that month. */
export function monthsLater(day: string, months: number): string {
  const [year, month, date] = day.split('-').map(Number) as [number, number, number]
  const all = 12 * year + month - 1 + months
  const last = new Date(Date.UTC(Math.floor(all / 12), (all % 12) + 1, 0)).getUTCDate()
  return dayOf(Date.UTC(Math.floor(all / 12), all % 12, Math.min(date, last)) / DAY_MS)
}

/** The whole part, as it was typed: 0.7 of 90 is 63, and a little less in binary. */
function part(whole: number, of: number): number {
  const [units = '', rest = ''] = String(of).split('.')
  return Math.floor((whole * Number(units + rest)) / 10 ** rest.length)
}

/** Say when a belt is due, from what the odometer read over the years. */
export function forecast(limit: Due, readings: readonly Reading[], today: string): Forecast {
  const { kept, oddities } = consistent([...readings].sort(inTime))
  const rate = kmADay(kept)
  const last = kept.at(-1)
  let byDistance: number | null = null
  if (limit.km !== null && rate !== null && rate > 0 && last) {
    const days = Math.max(-FAR, Math.min((limit.km - last.km) / rate, FAR))
    byDistance = dayNumber(last.on) + Math.floor(days)
  }
  if (byDistance === null || (limit.on !== null && dayNumber(limit.on) <= byDistance)) {
    const by = limit.on === null ? 'unknown' : 'date'
    return { on: limit.on, earliest: limit.on, latest: limit.on, by, km_a_day: rate, oddities }
  }
  const band = Math.floor(Math.abs(byDistance - dayNumber(today)) * BAND_PART + BAND_DAYS)
  const latest = byDistance + band
  return {
    on: dayOf(byDistance),
    earliest: dayOf(byDistance - band),
    latest: dayOf(limit.on === null ? latest : Math.min(latest, dayNumber(limit.on))),
    by: 'distance',
    km_a_day: rate,
    oddities,
  }
}

/** Why a belt is due: the date, a reading over the limit, or the forecast; null if it is not. */
export function whyDue(limit: Due, readings: readonly Reading[], today: string): string | null {
  if (limit.on !== null && today >= limit.on) return t(words.dueByTime, { on: limit.on })
  const most = readings.reduce<Reading | null>(
    (best, each) => (best && best.km >= each.km ? best : each),
    null,
  )
  if (limit.km !== null && most && most.km >= limit.km)
    return t(words.dueByKm, { km: most.km, on: most.on, limit: limit.km })
  const { on } = forecast(limit, readings, today)
  return on !== null && on <= today ? t(words.dueByEstimate, { on }) : null
}

/** What is odd about a reading after an earlier one of the same vehicle; null if nothing is. */
export function doubt(before: Reading, now: Reading): Oddity | null {
  if (now.km < before.km) {
    const says = t(words.lowerThanBefore, { km: now.km, before: before.km, on: before.on })
    return { code: 'odometer-lower', says }
  }
  return tooFast([before, now])[0] ?? null
}

const inTime = (a: Reading, b: Reading) => (a.on === b.on ? a.km - b.km : a.on < b.on ? -1 : 1)

const median = (some: readonly number[]) => {
  const sorted = [...some].sort((a, b) => a - b)
  const half = sorted.length >> 1
  return sorted.length % 2 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2
}

/** The middle of all slopes between two readings of different days; null for fewer than two. */
function kmADay(readings: readonly Reading[]): number | null {
  const slopes = readings.flatMap((earlier, i) =>
    readings
      .slice(i + 1)
      .filter((later) => later.on !== earlier.on)
      .map((later) => (later.km - earlier.km) / (dayNumber(later.on) - dayNumber(earlier.on))),
  )
  return slopes.length ? median(slopes) : null
}

/** Leaves out the one reading that makes an odometer run backward, if there is such a one. */
function consistent(readings: Reading[]): { kept: Reading[]; oddities: Oddity[] } {
  if (grows(readings)) return { kept: readings, oddities: tooFast(readings) }
  const without = readings.map((_, at) => readings.filter((_, other) => other !== at))
  const fitting = readings.flatMap((_, at) => (grows(without[at]!) ? [at] : []))
  if (readings.length <= 2 || fitting.length === 0)
    return { kept: [], oddities: [{ code: 'odometer-inconsistent', says: t(words.runsBackward) }] }
  // Of two that could be the wrong one, the one that leaves the steadier series.
  const at = fitting.reduce((best, each) =>
    unsteady(without[each]!) < unsteady(without[best]!) ? each : best,
  )
  const { km, on } = readings[at]!
  const backward: Oddity = { code: 'odometer-backward', says: t(words.readingLeftOut, { km, on }) }
  return { kept: without[at]!, oddities: [backward, ...tooFast(without[at]!)] }
}

const grows = (readings: readonly Reading[]) =>
  readings.every((one, i) => i === 0 || readings[i - 1]!.km <= one.km)

/** How far the readings lie from their own slope, km, the worst of them. */
function unsteady(readings: readonly Reading[]): number {
  const rate = kmADay(readings) ?? 0
  const rests = readings.map(({ km, on }) => km - rate * (dayNumber(on) - dayNumber(readings[0]!.on)))
  return Math.max(...rests) - Math.min(...rests)
}

function tooFast(readings: readonly Reading[]): Oddity[] {
  return readings.slice(1).flatMap((other, i): Oddity[] => {
    const one = readings[i]!
    const days = Math.max(dayNumber(other.on) - dayNumber(one.on), 1)
    const km = other.km - one.km
    if (km / days > MOST_KM_A_DAY)
      return [
        {
          code: 'odometer-fast',
          says: t(words.tooManyKm, { now: other.km, before: one.km, km, days, on: one.on }),
        },
      ]
    if (one.km > 0 && Math.abs(other.km / one.km / KM_PER_MILE - 1) <= MILES_WITHIN) {
      const said = { km: other.km, kmPerMile: KM_PER_MILE.toPrecision(6), before: one.km }
      return [{ code: 'odometer-miles', says: t(words.mayBeMiles, said) }]
    }
    return []
  })
}
