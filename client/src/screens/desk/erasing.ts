/** Orders to erase, as the workshop tells owners of them: rows, their words, and a new order checked. Pure. */
import type { ErasuresAnswer, OrderRow, RuleRow } from '../../ledger/answers'
import type { Body } from '../../ledger/bodies'
import { filesOf, refsOf, type Held } from '../../store'
import { dayWords } from '../../work/format'
import { becauseFault, type Checked, type Faults } from './drafts'
import * as words from '../../words/en/desk/erasing'
import { t } from '../../words/message'

/** An entry of 64 KiB holds no more (`ledger/bodies.py`). */
const BLOBS_AN_ORDER = 800

export const thingsOf = ({ blobs }: Pick<OrderRow, 'blobs'>): string => t(words.things, { n: blobs })

/** What an order comes to, the day first that matters. */
export function stateWords(row: OrderRow): string {
  if (row.state === 'carried-out') return t(words.erased)
  if (row.state === 'withdrawn') return t(words.withdrawn, { because: row.because ?? '' })
  return row.is_hastened ? t(words.dueNow) : t(words.dueFrom, { due: dayWords(row.due.slice(0, 10)) })
}

/** What all owners must see before it is too late: orders that wait, and rules that come. */
export function erasureLines({ orders, coming }: ErasuresAnswer): string[] {
  const rows = orders.filter(({ state }) => state === 'waits')
  const waiting =
    rows.length > MOST_LINES
      ? [togetherWords(rows)]
      : rows.map((row) =>
          t(words.oneOrdered, {
            things: thingsOf(row),
            blobs: row.blobs,
            due: dayWords(row.due.slice(0, 10)),
            reason: row.reason,
          }),
        )
  const rules = coming.map(({ begins, ...rule }) =>
    t(words.ruleComing, { begins: dayWords(begins.slice(0, 10)), rule: ruleWords(rule) }),
  )
  return [...waiting, ...rules]
}

/** More lines than these would push the jobs off the screen. */
const MOST_LINES = 3

function togetherWords(rows: readonly OrderRow[]): string {
  const first = rows.map(({ due }) => due).sort()[0] ?? ''
  const blobs = rows.reduce((sum, row) => sum + row.blobs, 0)
  return t(words.moreOrdered, {
    rows: rows.length,
    things: thingsOf({ blobs }),
    first: dayWords(first.slice(0, 10)),
  })
}

export const ruleWords = ({ delay_days, blobs_a_day }: RuleRow): string =>
  t(words.ruleInWords, {
    days: delay_days,
    n: blobs_a_day,
  })

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
    basis: said.basis === '' ? t(words.basisMissing) : becauseFault(said.basis),
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

const whole = (text: string) => (/^[1-9][0-9]{0,6}$/.test(text.trim()) ? Number(text) : null)

export function checkRule({ days, most }: RuleDraft): Checked<RuleDraft, Body<'erasure.ruled'>> {
  const [delay_days, blobs_a_day] = [whole(days), whole(most)]
  const isLong = delay_days !== null && delay_days > MOST_DAYS
  const faults: Faults<RuleDraft> = {
    days: delay_days === null || isLong ? t(words.daysUnfit, { mostDays: MOST_DAYS }) : undefined,
    most: blobs_a_day === null ? t(words.perDayUnfit) : undefined,
  }
  return delay_days !== null && !isLong && blobs_a_day !== null
    ? { ok: true, body: { delay_days, blobs_a_day } }
    : { ok: false, faults }
}

/** How long jobs are kept, as an owner types it. */
export function checkDays(draft: { days: string }): Checked<{ days: string }, Body<'retention.set'>> {
  const days = whole(draft.days)
  return days === null
    ? { ok: false, faults: { days: t(words.keptDaysUnfit) } }
    : { ok: true, body: { days } }
}
