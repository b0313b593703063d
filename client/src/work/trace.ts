/** A lot or a tool and the jobs it went into, as lines that run as far as the job has come. Pure. */
import type { Held, JobRow } from '../store'
import { lotKey, toolKey } from './spelling'

/** What is traced: `lot NH-24-0917` or `tool TW-2` in the address. */
export interface Traced {
  by: 'lot' | 'tool'
  name: string
}

export function tracedOf(item: string | null): Traced | null {
  const found = /^(lot|tool) (.+)$/.exec(item ?? '')
  return found ? { by: found[1] as Traced['by'], name: found[2]! } : null
}

export const itemOf = ({ by, name }: Traced): string => `${by} ${name}`

export interface TraceRow {
  row: JobRow
  /** What was done with it, the first and the last time, by the device's own clock. */
  first: { at: string; step: string; index: number | null }
  times: number
  closedAt: string | null
  approvedAt: string | null
  /** How many of the four columns the line reaches. */
  reach: 2 | 3 | 4
}

function uses(
  held: readonly Held[],
  { by, name }: Traced,
): { at: string; step: string; index: number | null }[] {
  return held.flatMap(({ entry, index }) => {
    const lot = by === 'lot' && entry.kind === 'part.fitted' && lotKey(entry.body.lot) === lotKey(name)
    const tool =
      by === 'tool' &&
      entry.kind === 'reading.taken' &&
      entry.body.tool !== undefined &&
      toolKey(entry.body.tool) === toolKey(name)
    return lot || tool ? [{ at: entry.at, step: (entry.body as { step: string }).step, index }] : []
  })
}

/** Null when the thing was not used in this job. An approval before the last closing is not of what stands now. */
export function traceRow(row: JobRow, held: readonly Held[], traced: Traced): TraceRow | null {
  const all = uses(held, traced)
  const [first] = all
  if (!first) return null
  const last = (kind: Held['entry']['kind']) => held.map(({ entry }) => entry.kind).lastIndexOf(kind)
  const [closed, approved] = [last('job.closed'), last('review.approved')]
  const closedAt = closed < 0 ? null : held[closed]!.entry.at
  const approvedAt = approved > closed && closed >= 0 ? held[approved]!.entry.at : null
  return {
    row,
    first,
    times: all.length,
    closedAt,
    approvedAt,
    reach: approvedAt !== null ? 4 : closedAt !== null ? 3 : 2,
  }
}

/** Those that left and were never approved first: nobody has looked at them. Then the newest. */
export function inOrder(rows: readonly TraceRow[]): TraceRow[] {
  const rank = ({ reach }: TraceRow) => (reach === 3 ? 0 : reach === 2 ? 1 : 2)
  return [...rows].sort((a, b) => rank(a) - rank(b) || (a.first.at < b.first.at ? 1 : -1))
}
