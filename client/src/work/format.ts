/** Times, sizes and places of work, as desk and audit say them. */
import { PLACE_WORDS, type Place } from './shown'
import type { Held } from '../store'
import * as words from '../words/en/work/format'
import { t } from '../words/message'

/** The day of a time by the clock it is read on, as the statements write days: YYYY-MM-DD. */
export const isoDay = (time: Date): string =>
  `${time.getFullYear()}-${String(time.getMonth() + 1).padStart(2, '0')}-${String(time.getDate()).padStart(2, '0')}`

const isMoment = (at: string): boolean => !Number.isNaN(Date.parse(at))

/** A time as its writer claimed it. A nonsense clock is shown as it was written. */
export const timeWords = (at: string): string => (isMoment(at) ? t(words.moment, { at }) : at)

export const hourWords = (at: string): string => t(words.hour, { at })

/** A day as the workshop states it, YYYY-MM-DD: it is the same day everywhere. */
export const dayWords = (day: string): string => t(words.day, { day })

export const sizeWords = (bytes: number): string =>
  bytes >= 1_000_000
    ? t(words.megabytes, { mb: bytes / 1_000_000 })
    : t(words.kilobytes, { kb: Math.max(1, Math.round(bytes / 1000)) })

export const kmWords = (km: number): string => t(words.km, { km })

export const placeOfHeld = ({ place, mine }: Held): string =>
  place === 'phone' && mine ? t(words.inThisBrowserOnly) : PLACE_WORDS[place as Place]
