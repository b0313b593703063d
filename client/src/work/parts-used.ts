/** What a job put in: parts with their lots, parts that are used once, coolant. Pure. */
import { readLabel } from '../trade/gs1'
import { logEntries } from './log'
import { inEngine } from './recalls'
import type { JobRecord, ReadingRecord } from './record'

/** A part that is in the engine now, as it was read or typed. */
export interface PartIn {
  label: string
  /** GTIN, where the code on the box was read and says one. */
  article: string | null
  lot: string
  serial: string | null
  /** Why its lot was recalled. */
  recalled: string | null
}

const kitLabel = ({ bundle }: JobRecord, part: string) =>
  bundle.kit.find((each) => each.part === part)?.label ?? part.replaceAll('_', ' ')

export function partsIn(record: JobRecord): PartIn[] {
  const inNow = new Set(inEngine(logEntries(record.held)).map(({ entry }) => entry))
  return record.held.flatMap(({ entry }) => {
    if (entry.kind !== 'part.fitted' || !inNow.has(entry.id)) return []
    const { part, lot, serial, code } = entry.body
    const year = Number(entry.at.slice(0, 4))
    const recall = record.recalled.find(({ standing, borne }) =>
      [...standing, ...borne].some((each) => each.entry === entry.id),
    )
    return {
      label: kitLabel(record, part),
      article: code === undefined ? null : (readLabel(code, year).gtin ?? null),
      lot,
      serial: serial ?? null,
      recalled: recall?.recall.because ?? null,
    }
  })
}

/** Parts that are used once, by name, as many as the work took: a step that was done again took new ones. */
export function usedOnce(record: JobRecord): { label: string; count: number }[] {
  const counts = new Map<string, number>()
  for (const { entry } of record.held) {
    if (entry.kind !== 'step.done' && entry.kind !== 'step.failed') continue
    const step = record.bundle.steps.find(({ id }) => id === entry.body.step)
    for (const { part, count } of step?.uses ?? []) counts.set(part, (counts.get(part) ?? 0) + count)
  }
  return [...counts].map(([part, count]) => ({ label: kitLabel(record, part), count }))
}

/** What was read last of each proof, in the order of work. */
export const lastReadings = ({ steps }: JobRecord): ReadingRecord[] =>
  steps.flatMap(({ readings }) => readings.filter(({ again }) => again === null))

/** Litres that came out or went in. */
export const litres = (record: JobRecord): ReadingRecord[] =>
  lastReadings(record).filter(({ unit }) => unit === 'L')
