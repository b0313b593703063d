/** What is told of a job at its end, on the phone: counted out of the record, not remembered. Pure. */
import type { SealState } from './shown'
import { dialUnitOf, dialWords } from './dial-unit'
import type { JobNow } from './job'
import { logEntries } from './log'
import { dayOfMoment, dueOf } from './next-due'
import { inEngine } from './recalls'
import * as says from '../words/en/work/closed-facts'
import * as state from '../words/en/work/state'
import { t } from '../words/message'

const kitLabel = ({ bundle }: JobNow, part: string) =>
  bundle.kit.find((each) => each.part === part)?.label ?? part

/** A next change is due after a finished job alone. */
export function closedFacts(now: JobNow, workshop: string, end: string): [string, string][] {
  const lots = inEngine(logEntries(now.held)).map(({ part, lot }) => `${kitLabel(now, part)} ${lot}`)
  const numbered = now.steps.filter(({ step }) => step.number !== '')
  const count = (seal: SealState) => numbered.filter((each) => each.seal === seal).length
  const isFinished = now.machine.ends.some(({ id, all_must }) => id === end && all_must)
  return [
    [t(says.vehicleLabel), now.bundle.vehicle],
    [t(says.odometerLabel), dialWords(now.row.odometerKm, dialUnitOf(now.held))],
    ...(isFinished ? ([[t(says.nextDue), dueWords(now)]] as [string, string][]) : []),
    [
      t(says.stepsLabel),
      t(says.ofHold, {
        count: count('holds'),
        numbered: numbered.length,
        passed: count('passed'),
      }),
    ],
    [t(says.photosLabel), String(now.held.filter(({ entry }) => entry.kind === 'photo.taken').length)],
    [t(says.lotsLabel), lots.join(', ') || t(says.noLots)],
    [t(says.procedureLabel), t(state.edition, { name: now.bundle.name, edition: now.bundle.edition })],
    // On paper these two are the cheapest witness of what the record was.
    [t(says.workshopLabel), workshop],
    [t(says.headOfTheRecord), now.state.heads.map((head) => head.slice(0, 12)).join(' ')],
  ]
}

/** Counted from this job's own day and odometer. */
function dueWords({ row, bundle, held }: JobNow): string {
  const closedAt = held.filter(({ entry }) => entry.kind === 'job.closed').at(-1)?.entry.at
  const { day, km } = dueOf(bundle.interval, row.odometerKm, dayOfMoment(closedAt ?? row.lastAt))
  return t(says.dueAt, {
    hasKm: km !== null,
    km: km === null ? '' : dialWords(km, dialUnitOf(held)),
    hasDay: day !== null,
    day: day ?? '',
  })
}
