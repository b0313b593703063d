/**
 * Who may do what asks for a permit, as the workshop stated it: given from a day on, until a day, and ended. A statement by
 * a device that may not make it says nothing. Pure; days are ISO dates.
 */
import type { Body } from '../ledger/bodies'
import type { Held } from '../store'
import { counting } from './counting'
import { dayWords } from './format'
import * as words from '../words/en/work/permits'
import { nameIn, namesOf, t } from '../words/message'

export interface Permit {
  /** The entry that gave it. */
  entry: string
  person: string
  permit: string
  on: string
  /** Its last day; null: without an end. */
  until: string | null
  document: NonNullable<Body<'permit.given'>['document']> | null
  /** Why it does not hold any more, and since which day by the clock of who said so; null while it does. */
  ended: { because: string; on: string } | null
}

/** What a workshop that mends timing drives is asked to show. A workshop may write others. */
export const PERMITS = namesOf(words.permits)

export const permitName = (permit: string): string => nameIn(PERMITS, permit)

/** All that were ever given, in ledger order. */
export function permitsOf(statements: readonly Held[]): Permit[] {
  const permits = new Map<string, Permit>()
  for (const { entry } of counting(statements)) {
    if (entry.kind === 'permit.given') {
      const { person, permit, on, until, document } = entry.body
      permits.set(entry.id, {
        entry: entry.id,
        person,
        permit,
        on,
        until: until ?? null,
        document: document ?? null,
        ended: null,
      })
    }
    const known = entry.kind === 'permit.ended' ? permits.get(entry.body.permit) : undefined
    if (known && entry.kind === 'permit.ended')
      known.ended ??= { because: entry.body.because, on: entry.at.slice(0, 10) }
  }
  return [...permits.values()]
}

const holdsOn = ({ on, until, ended }: Permit, day: string): boolean =>
  on <= day && (until === null || day <= until) && (ended === null || day < ended.on)

/** What a person might do on a day. */
export const permitsOn = (statements: readonly Held[], person: string, day: string): Permit[] =>
  permitsOf(statements).filter((permit) => permit.person === person && holdsOn(permit, day))

/** So many days before its end a permit is told. */
const SOON_DAYS = 30
const DAY_MS = 86_400_000

const daysBetween = (from: string, to: string): number =>
  Math.round((Date.parse(`${to}T00:00:00Z`) - Date.parse(`${from}T00:00:00Z`)) / DAY_MS)

/** Days until its last day, below 0 when it is past; null where it has no end. */
export const daysLeft = ({ until }: Permit, today: string): number | null =>
  until === null ? null : daysBetween(today, until)

/** How a permit stands today, in words. */
export function permitWords(permit: Permit, today: string): string {
  const { on, until, ended } = permit
  if (ended !== null) return t(words.ended, { on: dayWords(ended.on), because: ended.because })
  if (on > today) return t(words.from, { on: dayWords(on) })
  if (until === null) return t(words.withoutEnd)
  return until < today
    ? t(words.over, { until: dayWords(until) })
    : t(words.until, {
        until: dayWords(until),
        soon: isSoonOver(permit, today),
        n: daysLeft(permit, today) ?? 0,
      })
}

const isSoonOver = (permit: Permit, today: string): boolean => {
  const left = daysLeft(permit, today)
  return left !== null && left >= 0 && left <= SOON_DAYS
}

/**
 * Those that are over or soon are, and that no other of the same person and sort carries on: whoever plans work is to know
 * of them.
 */
export function lapsing(permits: readonly Permit[], today: string): Permit[] {
  const standing = permits.filter(({ ended }) => ended === null)
  return standing.filter((permit) => {
    const left = daysLeft(permit, today)
    if (left === null || left > SOON_DAYS) return false
    return !standing.some(
      (other) =>
        other.person === permit.person &&
        other.permit === permit.permit &&
        (other.until === null || other.until > permit.until!),
    )
  })
}
