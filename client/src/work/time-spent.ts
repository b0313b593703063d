/**
 * How long a job took, by its own log: time by phase, and what was no work. Pure.
 *
 * What lies between two entries belongs to the phase of the later one, for that is what was being done. What is longer
 * than `PAUSE_MINUTES` is a pause, and is told as one: nobody can say from a log whether hands were still. So is what
 * lies behind a parking, however short. Two hands at once count once.
 */
import { PAUSE_MINUTES } from '../trade/hours'
import type { Entry } from '../ledger/entry'
import type { Bundle } from '../procedure/bundle'
import type { Held } from '../store'

export interface Pause {
  from: string
  to: string
  minutes: number
  isParked: boolean
}

export interface TimeSpent {
  phases: { name: string; minutes: number }[]
  minutes: number
  pauses: Pause[]
  /** Entries whose clock stood before that of the entry before them on the same device: their time is not counted. */
  back: number
}

const MINUTE_MS = 60_000
/** What the desk says of a job, before or later, is no work at it. */
const DESKS = /^(review|recall|page|finding|enquiry|notice|job\.planned)/

const stepIn = ({ body }: Entry): string | undefined => (body as { step?: string }).step

/** Entries of the work, as their clocks stand, up to the last closing. */
function worked(held: readonly Held[]): Entry[] {
  const entries = held
    .flatMap(({ entry, refused }) => (refused || DESKS.test(entry.kind) ? [] : entry))
    .filter(({ at }) => !Number.isNaN(Date.parse(at)))
    .sort((a, b) => Date.parse(a.at) - Date.parse(b.at))
  const closed = entries.map(({ kind }) => kind as string).lastIndexOf('job.closed')
  return closed < 0 ? entries : entries.slice(0, closed + 1)
}

function wentBack(held: readonly Held[]): number {
  const last = new Map<string, number>()
  let back = 0
  for (const { entry } of held) {
    const [at, before] = [Date.parse(entry.at), last.get(entry.device) ?? -Infinity]
    if (at < before) back++
    last.set(entry.device, Math.max(at, before))
  }
  return back
}

/** Of each entry the phase that was worked at: its step's, else that of the next entry with a step. */
function phasesOf(entries: readonly Entry[], { steps, phases }: Bundle): string[] {
  const phaseOf = new Map(steps.map(({ id, phase }) => [id, phase]))
  let next = phases.at(-1)?.id ?? ''
  return entries
    .map((entry) => phaseOf.get(stepIn(entry) ?? ''))
    .reverse()
    .map((phase) => {
      next = phase ?? next
      return next
    })
    .reverse()
}

export function timeSpent({ bundle, held }: { bundle: Bundle; held: readonly Held[] }): TimeSpent {
  const entries = worked(held)
  const phases = phasesOf(entries, bundle)
  const spentMs = new Map<string, number>()
  const pauses: Pause[] = []
  entries.slice(1).forEach(({ at: to }, before) => {
    const { at: from, kind } = entries[before]!
    const ms = Date.parse(to) - Date.parse(from)
    const isParked = kind === 'job.parked'
    const phase = phases[before + 1]!
    if (isParked || ms > PAUSE_MINUTES * MINUTE_MS)
      pauses.push({ from, to, minutes: minutesOf(ms), isParked })
    else spentMs.set(phase, (spentMs.get(phase) ?? 0) + ms)
  })
  return {
    phases: bundle.phases
      .map(({ id, name }) => ({ name, minutes: minutesOf(spentMs.get(id) ?? 0) }))
      .filter(({ minutes }) => minutes > 0),
    minutes: minutesOf([...spentMs.values()].reduce((sum, one) => sum + one, 0)),
    pauses: pauses.filter(({ minutes }) => minutes > 0),
    back: wentBack(held),
  }
}

const minutesOf = (ms: number): number => Math.round(ms / MINUTE_MS)
