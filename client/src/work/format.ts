/** Times, sizes and places of work, as desk and audit say them. */
import { PLACE_WORDS, type Place } from './shown'
import type { Held } from '../store'

/** The day of a time by the clock it is read on, as the statements write days: YYYY-MM-DD. */
export const isoDay = (time: Date): string =>
  `${time.getFullYear()}-${String(time.getMonth() + 1).padStart(2, '0')}-${String(time.getDate()).padStart(2, '0')}`

const DAY = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'short', year: 'numeric' })
const HOUR = new Intl.DateTimeFormat('en-GB', { hour: '2-digit', minute: '2-digit' })

/** A time as its writer claimed it. A nonsense clock is shown as it was written. */
export function timeWords(at: string): string {
  const time = new Date(at)
  return Number.isNaN(time.getTime()) ? at : `${DAY.format(time)}, ${HOUR.format(time)}`
}

export function hourWords(at: string): string {
  const time = new Date(at)
  return Number.isNaN(time.getTime()) ? at : HOUR.format(time)
}

/** A day as the workshop states it, YYYY-MM-DD: it is the same day everywhere. */
export const dayWords = (day: string): string => {
  const time = new Date(`${day}T12:00:00`)
  return Number.isNaN(time.getTime()) ? day : DAY.format(time)
}

export function sizeWords(bytes: number): string {
  return bytes >= 1_000_000
    ? `${(bytes / 1_000_000).toFixed(1)} MB`
    : `${Math.max(1, Math.round(bytes / 1000))} kB`
}

export const kmWords = (km: number): string => `${String(km).replace(/\B(?=(\d{3})+$)/g, '\u202f')} km`

export const placeOfHeld = ({ place, mine }: Held): string =>
  place === 'phone' && mine ? 'in this browser only' : PLACE_WORDS[place as Place]
