/** Orders to erase, as the workshop tells owners of them: rows, their words, and a new order checked. Pure. */
import type { ErasuresAnswer, OrderRow, RuleRow } from '../../ledger/answers'
import type { Body } from '../../ledger/bodies'
import { filesOf, refsOf, type Held } from '../../store'
import { dayWords } from '../../work/format'
import { becauseFault, type Checked, type Faults } from './drafts'

/** An entry of 64 KiB holds no more (`ledger/bodies.py`). */
const BLOBS_AN_ORDER = 800

const counted = (count: number, one: string, many = `${one}s`): string =>
  `${count} ${count === 1 ? one : many}`

export const thingsOf = ({ blobs }: Pick<OrderRow, 'blobs'>): string =>
  counted(blobs, 'value or photo', 'values and photos')

/** What an order comes to, the day first that matters. */
export function stateWords(row: OrderRow): string {
  if (row.state === 'carried-out') return 'Erased. The record of it stays.'
  if (row.state === 'withdrawn') return `Withdrawn: ${row.because ?? ''}`
  return row.is_hastened
    ? 'To be erased now.'
    : `To be erased from ${dayWords(row.due.slice(0, 10))} on. Until then any owner withdraws it.`
}

/** What all owners must see before it is too late: orders that wait, and rules that come. */
export function erasureLines({ orders, coming }: ErasuresAnswer): string[] {
  const rows = orders.filter(({ state }) => state === 'waits')
  const waiting =
    rows.length > MOST_LINES
      ? [togetherWords(rows)]
      : rows.map(
          (row) =>
            `${thingsOf(row)} ${row.blobs === 1 ? 'is' : 'are'} ordered erased on ${dayWords(row.due.slice(0, 10))}: ${row.reason}`,
        )
  const rules = coming.map(
    ({ begins, ...rule }) =>
      `From ${dayWords(begins.slice(0, 10))} on, what is ordered erased goes after ${ruleWords(rule)}`,
  )
  return [...waiting, ...rules]
}

/** More lines than these would push the jobs off the screen. */
const MOST_LINES = 3

function togetherWords(rows: readonly OrderRow[]): string {
  const first = rows.map(({ due }) => due).sort()[0] ?? ''
  const blobs = rows.reduce((sum, row) => sum + row.blobs, 0)
  return `${rows.length} erasures are ordered, of ${thingsOf({ blobs })}; the first on ${dayWords(first.slice(0, 10))}`
}

export const ruleWords = ({ delay_days, blobs_a_day }: RuleRow): string =>
  `${counted(delay_days, 'day')}, no more than ${counted(blobs_a_day, 'value or photo', 'values and photos')} a day`

/** What of a job can be erased: private values, and the photos and recordings that its entries describe. */
export function erasableOf(held: readonly Held[]): { values: string[]; files: string[] } {
  const values = new Set(held.flatMap(({ entry }) => refsOf(entry.body).map(({ blob }) => blob)))
  const files = new Set(held.flatMap(({ entry }) => filesOf(entry)))
  return { values: [...values], files: [...files] }
}

export interface OrderDraft {
  reason: string
  basis: string
}

/** The orders to sign: one, unless there are more blobs than an entry holds. */
export function checkOrder(
  { reason, basis }: OrderDraft,
  blobs: readonly string[],
): Checked<OrderDraft, Body<'erasure.ordered'>[]> {
  const said = { reason: reason.normalize('NFC').trim(), basis: basis.normalize('NFC').trim() }
  const faults: Faults<OrderDraft> = {
    reason: becauseFault(said.reason),
    basis:
      said.basis === ''
        ? 'Write what asks for it: the law and its article, or a contract.'
        : becauseFault(said.basis),
  }
  if (faults.reason !== undefined || faults.basis !== undefined) return { ok: false, faults }
  const orders = Array.from({ length: Math.ceil(blobs.length / BLOBS_AN_ORDER) }, (_, n) => ({
    blobs: blobs.slice(n * BLOBS_AN_ORDER, (n + 1) * BLOBS_AN_ORDER),
    ...said,
  }))
  return { ok: true, body: orders }
}

export interface RuleDraft {
  days: string
  most: string
}

/** The law that asks for erasing allows a month: 28 days are the most (`ledger/erasure.py`). */
const MOST_DAYS = 28

export function checkRule({ days, most }: RuleDraft): Checked<RuleDraft, Body<'erasure.ruled'>> {
  const whole = (text: string) => (/^[1-9][0-9]{0,6}$/.test(text.trim()) ? Number(text) : null)
  const [delay_days, blobs_a_day] = [whole(days), whole(most)]
  const isLong = delay_days !== null && delay_days > MOST_DAYS
  const faults: Faults<RuleDraft> = {
    days:
      delay_days === null || isLong
        ? `Write a whole number of days, 1 to ${MOST_DAYS}: the law that asks for erasing allows a month.`
        : undefined,
    most: blobs_a_day === null ? 'Write a whole number, 1 or more.' : undefined,
  }
  return delay_days !== null && !isLong && blobs_a_day !== null
    ? { ok: true, body: { delay_days, blobs_a_day } }
    : { ok: false, faults }
}
