/** Times, sizes and places of work, as desk and audit say them. */
import { PLACE_WORDS, type Place } from './shown'
import type { Held } from '../store'
import * as instants from '../words/en/ledger/instants'
import * as words from '../words/en/work/format'
import { t } from '../words/message'

/** The day of a time by the clock it is read on, as the statements write days: YYYY-MM-DD. */
export const isoDay = (time: Date): string =>
  `${time.getFullYear()}-${String(time.getMonth() + 1).padStart(2, '0')}-${String(time.getDate()).padStart(2, '0')}`

const AT = /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z$/

/**
 * An instant as desk, report and command line say it alike, in UTC; the twin of `ledger/instants.py`, which says why.
 * A clock that was set to nonsense keeps what it said.
 */
export const timeWords = (at: string): string =>
  AT.test(at) ? t(instants.instant, { day: at.slice(0, 10), time: at.slice(11, 19) }) : at

export const hourWords = (at: string): string =>
  AT.test(at) ? t(words.hour, { time: at.slice(11, 16) }) : at

const two = (part: number): string => String(Math.trunc(Math.abs(part))).padStart(2, '0')

/** The zone that this device's clock is in at a time: `UTC+01:00`. */
export function zoneWords(at: Date): string {
  const minutes = -at.getTimezoneOffset()
  if (minutes === 0) return t(words.utc)
  return t(words.zone, { isAhead: minutes > 0, hours: two(minutes / 60), minutes: two(minutes % 60) })
}

/** By the clock and in the zone of the phone it is read on, which it names: for who stands beside that phone. */
export function phoneTimeWords(at: string): string {
  const time = new Date(at)
  if (Number.isNaN(time.getTime())) return at
  const hour = `${two(time.getHours())}:${two(time.getMinutes())}`
  return t(words.moment, { day: dayWords(isoDay(time)), hour, zone: zoneWords(time) })
}

/** A day as the workshop states it, YYYY-MM-DD: it is the same day everywhere. */
export const dayWords = (day: string): string => t(words.day, { day })

export const sizeWords = (bytes: number): string =>
  bytes >= 1_000_000
    ? t(words.megabytes, { mb: bytes / 1_000_000 })
    : t(words.kilobytes, { kb: Math.max(1, Math.round(bytes / 1000)) })

export const kmWords = (km: number): string => t(words.km, { km })

export const placeOfHeld = ({ place, mine }: Held): string =>
  place === 'phone' && mine ? t(words.inThisBrowserOnly) : PLACE_WORDS[place as Place]
