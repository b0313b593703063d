/** When a vehicle's belt will be due, in words, with an honest band. Pure; days are ISO dates. */
import type { DueRow } from '../ledger/answers'
import { dialUnit, dialWords } from './dial-unit'
import { dayWords } from './format'
import * as words from '../words/en/work/due'
import { t } from '../words/message'

/** So near is worth a call now: common practice, no source. */
const SOON_DAYS = 60
const DAY_MS = 86_400_000

export type Urgency = 'over' | 'soon' | 'later'

export function urgencyOf({ day }: Pick<DueRow, 'day'>, today: string): Urgency {
  if (day < today) return 'over'
  const days = (Date.parse(`${day}T00:00:00Z`) - Date.parse(`${today}T00:00:00Z`)) / DAY_MS
  return days <= SOON_DAYS ? 'soon' : 'later'
}

/** 'about 14 Mar 2031, between 2 Nov 2030 and 25 Jul 2031', 'at the latest on 24 Nov 2032'. */
export function whenWords({ by, day, earliest, latest, limit_day: limit }: DueRow): string {
  if (by === 'distance' && earliest !== null && latest !== null)
    return t(words.aboutBetween, {
      day: dayWords(day),
      earliest: dayWords(earliest),
      latest: dayWords(latest),
    })
  return t(words.atTheLatest, { day: dayWords(limit) })
}

/** On what that stands: the vehicle's own use, or above which use it would be sooner. */
export function whyWords({
  by,
  limit_km: km,
  km_a_year: rate,
  even_km_a_year: even,
  limit_day: day,
  odometer_unit,
}: DueRow): string {
  const said = (distance: number) => dialWords(distance, dialUnit(odometer_unit))
  const limit = t(words.limit, { km: said(km), day: dayWords(day) })
  if (rate !== null) return t(words.ownUse, { limit, rate: said(rate), by })
  return even === null ? limit : t(words.readOnce, { limit, even: said(even) })
}
