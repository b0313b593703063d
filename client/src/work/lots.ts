/** Lots and the jobs they were fitted in. Pure. */
import type { Ref } from '../ledger/bodies'
import type { LotRow as ListedLot } from '../ledger/answers'
import type { Held, JobRow } from '../store'
import { logEntries } from './log'
import { inEngine, recallOf, type Recall } from './recalls'
import { lotKey } from './spelling'

export interface Fitted {
  /** As it was written down. */
  lot: string
  part: string
  /** By the device's own clock. */
  at: string
  row: JobRow
  customer: Ref | null
  /** `at` of the last `job.closed`; null while it is open. */
  closedAt: string | null
  /** Another part was fitted in its place since. */
  isReplaced: boolean
}

export function fittedIn(row: JobRow, held: readonly Held[]): Fitted[] {
  const opened = held.map(({ entry }) => entry).find(({ kind }) => kind === 'job.opened')
  const customer = opened?.kind === 'job.opened' ? (opened.body.customer ?? null) : null
  const closedAt =
    row.end === null
      ? null
      : (held.filter(({ entry }) => entry.kind === 'job.closed').at(-1)?.entry.at ?? null)
  const inNow = new Set(inEngine(logEntries(held)).map(({ entry }) => entry))
  const found = new Map<string, Fitted>()
  for (const { entry } of held) {
    if (entry.kind !== 'part.fitted') continue
    const { lot, part } = entry.body
    const key = `${lotKey(lot)} ${part}`
    // Of two of one lot, the one that stays in counts.
    const isReplaced = !inNow.has(entry.id) && (found.get(key)?.isReplaced ?? true)
    found.set(key, { lot, part, at: entry.at, row, customer, closedAt, isReplaced })
  }
  return [...found.values()]
}

/** `lot` in the spelling of its recall, else as it was first written; `spellings` are all that were written down. */
export interface LotRow {
  lot: string
  spellings: string[]
  parts: string[]
  fitted: Fitted[]
  recall: Recall | null
}

/** Recalled lots first, then the last fitted. A recalled lot that was never fitted is listed too. */
export function lotsOf(fitted: readonly Fitted[], recalls: readonly Recall[]): LotRow[] {
  const rows = new Map<string, LotRow>()
  const rowOf = (lot: string) => {
    const known = rows.get(lotKey(lot)) ?? {
      lot,
      spellings: [],
      parts: [],
      fitted: [],
      recall: recallOf(recalls, lot),
    }
    rows.set(lotKey(lot), known)
    if (!known.spellings.includes(lot)) known.spellings.push(lot)
    return known
  }
  for (const { lot } of recalls) rowOf(lot)
  for (const each of fitted) {
    const row = rowOf(each.lot)
    if (!row.parts.includes(each.part)) row.parts.push(each.part)
    row.fitted.push(each)
  }
  for (const row of rows.values()) row.fitted.sort((a, b) => (a.at < b.at ? 1 : -1))
  const last = (row: LotRow) => row.fitted[0]?.at ?? ''
  return [...rows.values()].sort(
    (a, b) => Number(b.recall !== null) - Number(a.recall !== null) || (last(a) < last(b) ? 1 : -1),
  )
}

/** A lot in a list, by its recall's spelling where it has one. `at` is when it was fitted last; null: never, as far as is known. */
export interface LotLine {
  lot: string
  parts: readonly string[]
  jobs: number
  at: string | null
  recall: Recall | null
}

/** What the workshop lists, and of what is here whatever it does not: recalled lots first, then by name. */
export function lotLines(listed: readonly ListedLot[], here: readonly LotRow[]): LotLine[] {
  const lines = new Map<string, LotLine>()
  for (const { lot, parts, fitted, recall } of here) {
    const jobs = new Set(fitted.map(({ row }) => row.job)).size
    lines.set(lotKey(lot), { lot, parts, jobs, at: fitted[0]?.at ?? null, recall })
  }
  for (const { lot, parts, jobs, at } of listed) {
    const own = lines.get(lotKey(lot))
    const all = [...new Set([...parts, ...(own?.parts ?? [])])]
    const recall = own?.recall ?? null
    lines.set(lotKey(lot), {
      lot: recall?.lot ?? lot,
      parts: all,
      jobs: Math.max(jobs, own?.jobs ?? 0),
      at: own?.at && own.at > at ? own.at : at,
      recall,
    })
  }
  const isRecalled = ({ recall }: LotLine) => Number(recall !== null)
  return [...lines.values()].sort(
    (a, b) => isRecalled(b) - isRecalled(a) || lotKey(a.lot).localeCompare(lotKey(b.lot)),
  )
}

/** The row of a lot, however it is written. */
export const rowOfLot = (rows: readonly LotRow[], lot: string): LotRow | null =>
  rows.find((row) => lotKey(row.lot) === lotKey(lot)) ?? null

/** 'also written as', for a row that has more than one spelling; empty otherwise. */
export const otherSpellings = ({ lot, spellings }: LotRow): string[] =>
  spellings.filter((each) => each !== lot)
