/** Which pages a job has open for its customer. Pure. */
import type { EntryOf } from '../ledger/entry'
import type { Held } from '../store'
import { counting } from './counting'

export interface OpenPage {
  /** The `page.shared` that opened it. */
  entry: string
  until: string
  photos: readonly { photo: string; label: string }[]
  /** Whether the job's evidence bag may be taken along. */
  hasBag: boolean
}

const pageOf = ({ id, body: { until, photos, bag } }: EntryOf<'page.shared'>): OpenPage => ({
  entry: id,
  until,
  photos: photos ?? [],
  hasBag: bag !== undefined,
})

/** Shared, not ended and not over; the newest first. The workshop judges by its own clock (`web/customer_page.py`). */
export function openPages(held: readonly Held[], now: Date): OpenPage[] {
  const counts = counting(held).filter(({ refused }) => !refused)
  const ended = new Set(counts.flatMap(({ entry }) => (entry.kind === 'page.ended' ? [entry.body.page] : [])))
  return counts
    .flatMap(({ entry }) => (entry.kind === 'page.shared' && !ended.has(entry.id) ? [pageOf(entry)] : []))
    .filter(({ until }) => Date.parse(until) > now.getTime())
    .reverse()
}
