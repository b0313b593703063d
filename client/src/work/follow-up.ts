/**
 * The vehicles of a recall, or of a tool that was found out: in which order they are called, how far that came, and the
 * same as a table. Pure; days are ISO dates.
 */
import { onDial } from './dial-unit'
import type { FastenerRow, FollowUpAnswer, VehicleRow } from '../ledger/answers'
import { dayWords, timeWords } from './format'
import * as words from '../words/en/work/follow-up'
import { t } from '../words/message'

/** What can be said of a vehicle: of both matters, and how each is settled. */
export const HOWS = {
  lot: ['told', 'not_reached', 'answered', 'replaced'],
  tool: ['told', 'not_reached', 'answered', 'retightened', 'accepted'],
} as const
export type How = (typeof HOWS)['lot' | 'tool'][number]

/** What takes the owner's word for the work itself: it is not said without words that say why. */
export const WANTS_WORDS: readonly string[] = ['answered', 'accepted']

export const howWords = (how: string): string => (how in words.how ? t(words.how[how as How]) : how)

/** Nobody has reached them first, then those who were told, then those who answered; what is done last. */
function standing({ is_done: isDone, followed }: VehicleRow): number {
  if (isDone) return 3
  const hows = followed.map(({ how }) => how)
  if (hows.includes('answered')) return 2
  return hows.includes('told') ? 1 : 0
}

const beyond = ({ fasteners }: VehicleRow): number =>
  Math.max(0, ...fasteners.map(({ beyond_permille, is_settled }) => (is_settled ? 0 : beyond_permille)))

/** Those of whom nobody knows before those that are inside. */
const unknown = ({ fasteners }: VehicleRow): number =>
  Number(fasteners.some(({ verdict, is_settled }) => verdict === 'unknown' && !is_settled))

/** In the order in which they are called: what is to do first, of a tool the worst, then whom nobody has reached. */
export const inOrder = (vehicles: readonly VehicleRow[]): VehicleRow[] =>
  [...vehicles].sort(
    (a, b) =>
      Number(a.is_done) - Number(b.is_done) ||
      beyond(b) - beyond(a) ||
      unknown(b) - unknown(a) ||
      standing(a) - standing(b),
  )

export interface Counts {
  all: number
  done: number
  /** To do, and nobody has told the customer. */
  untold: number
}

export const countsOf = (vehicles: readonly VehicleRow[]): Counts => ({
  all: vehicles.length,
  done: vehicles.filter(({ is_done }) => is_done).length,
  untold: vehicles.filter((row) => standing(row) === 0).length,
})

/** 'by 1 Dec 2026', or how long it is overdue; empty where no day was named or nothing is left to do. */
export function untilWords(
  { until }: Pick<FollowUpAnswer, 'until'>,
  { all, done }: Counts,
  today: string,
): string {
  if (until === null || all === done) return ''
  const days = Math.round((Date.parse(today) - Date.parse(until)) / 86_400_000)
  return days > 0
    ? t(words.overdue, { until: dayWords(until), days })
    : t(words.byThen, { until: dayWords(until) })
}

/** Whether anything is left to do with a vehicle. */
export const doneWords = ({ is_done }: Pick<VehicleRow, 'is_done'>): string =>
  t(is_done ? words.done : words.toDo)

/** 'was really 23.66 N·m, limits 24.96 to 27.04: outside' */
export function fastenerWords({ value, unit, low, high, actual, verdict }: FastenerRow): string {
  const limits =
    low !== null && high !== null
      ? t(words.between, { low, high })
      : low !== null
        ? t(words.atLeast, { low })
        : high !== null
          ? t(words.atMost, { high })
          : t(words.noLimits)
  return t(words.fastener, { value, unit, isKnown: actual !== null, actual: actual ?? '', limits, verdict })
}

/** The parts or fasteners about which something is to be done, in words for a letter. */
export const concerning = ({ parts, fasteners }: VehicleRow): string[] => [
  ...parts.filter(({ asks }) => asks).map(({ part, lot }) => t(words.partOfLot, { part, lot })),
  ...fasteners
    .filter(({ verdict, is_settled }) => verdict !== 'inside' && !is_settled)
    .map(({ where }) => where),
]

/** A table: a head, then a row for each part or fastener. `nameOf` says who a person is. */
export function tableOf(vehicles: readonly VehicleRow[], nameOf: (person: string) => string): string[][] {
  return [
    Object.values(words.head).map((each) => t(each)),
    ...inOrder(vehicles).flatMap((row) => rowsOf(row, nameOf)),
  ]
}

function rowsOf(row: VehicleRow, nameOf: (person: string) => string): string[][] {
  const last = row.followed.at(-1)
  const start = [
    row.plate ?? '',
    row.vin ?? '',
    row.engine_code ?? '',
    row.odometer_km === null ? '' : String(row.odometer_km),
    row.odometer_km === null || row.odometer_unit === null ? '' : String(onDial(row.odometer_km, 'mi')),
    row.customer ?? '',
    row.phone ?? '',
    row.begun.slice(0, 10),
    doneWords(row),
    last ? howWords(last.how) : '',
    last ? timeWords(last.at) : '',
    last ? nameOf(last.person) : '',
  ]
  return [
    ...row.parts.map(({ part, lot }) => [...start, part, lot, '', '', '', '', '', '']),
    ...row.fasteners.map(({ where, value, unit, actual, low, high, verdict }) => [
      ...start,
      where,
      '',
      value,
      unit,
      actual ?? '',
      low ?? '',
      high ?? '',
      t(words.verdicts[verdict as keyof typeof words.verdicts]),
    ]),
  ]
}
