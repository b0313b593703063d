/** Lots and the jobs they were fitted in. Pure. */
import type { Ref } from '../../ledger/bodies'
import type { Held, JobRow } from '../../store'
import { recallOf, type Recall } from './statements'

export interface Fitted {
  lot: string
  part: string
  /** By the device's own clock. */
  at: string
  row: JobRow
  customer: Ref | null
  /** `at` of the last `job.closed`; null while it is open. */
  closedAt: string | null
}

export function fittedIn(row: JobRow, held: readonly Held[]): Fitted[] {
  const opened = held.map(({ entry }) => entry).find(({ kind }) => kind === 'job.opened')
  const customer = opened?.kind === 'job.opened' ? (opened.body.customer ?? null) : null
  const closedAt = row.end === null ? null : (held.filter(({ entry }) => entry.kind === 'job.closed').at(-1)?.entry.at ?? null)
  const found = new Map<string, Fitted>()
  for (const { entry } of held) {
    if (entry.kind !== 'part.fitted') continue
    const { lot, part } = entry.body
    found.set(`${lot} ${part}`, { lot, part, at: entry.at, row, customer, closedAt })
  }
  return [...found.values()]
}

export interface LotRow { lot: string; parts: string[]; fitted: Fitted[]; recall: Recall | null }

/** Recalled lots first, then the last fitted. A recalled lot that was never fitted is listed too. */
export function lotsOf(fitted: readonly Fitted[], recalls: ReadonlyMap<string, Recall>): LotRow[] {
  const rows = new Map<string, LotRow>()
  const rowOf = (lot: string) => {
    const known = rows.get(lot) ?? { lot, parts: [], fitted: [], recall: recallOf(recalls, lot) }
    rows.set(lot, known)
    return known
  }
  for (const lot of recalls.keys()) rowOf(lot)
  for (const each of fitted) {
    const row = rowOf(each.lot)
    if (!row.parts.includes(each.part)) row.parts.push(each.part)
    row.fitted.push(each)
  }
  for (const row of rows.values()) row.fitted.sort((a, b) => (a.at < b.at ? 1 : -1))
  const last = (row: LotRow) => row.fitted[0]?.at ?? ''
  return [...rows.values()].sort((a, b) => Number(b.recall !== null) - Number(a.recall !== null) || (last(a) < last(b) ? 1 : -1))
}
