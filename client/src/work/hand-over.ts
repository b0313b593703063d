/**
 * What a customer is told when the vehicle goes: rows under headings, in plain words, counted out of the record. Pure.
 * The same rows are read before the signature, printed, and shown on the customer's own page.
 *
 * What is looked at again and what to listen for: common practice, no source. A heading and a name are short, what
 * stands beside them has at most `LONGEST` letters, as an entry keeps it (`ledger/bodies_of_jobs.py`, `SheetRow`).
 */
import type { Ref } from '../ledger/bodies'
import { type DialUnit, dialUnitOf, dialWords, onDial } from './dial-unit'
import { foundRows } from './hand-over-found'
import { handOverStep } from './last-signature'
import { jobCode } from './job-code'
import { capital } from './letters'
import { windowWords, withUnit } from './limits'
import { dayOfMoment, dueOf } from './next-due'
import { lastReadings, partsIn, usedOnce, type PartIn } from './parts-used'
import { listed, type JobRecord, type ReadingRecord, type StepRecord } from './record'
import type { SheetRow } from './sheet'
import * as says from '../words/en/work/hand-over'
import { t } from '../words/message'

/** Of the workshop that hands the vehicle over. */
export interface HandedBy {
  workshop: string
  workshopName: string
}

const LONGEST = 500
const WHEEL_BOLTS_KM = [50, 100] as const
const LOOK_KM = 1000
const ROADSIDE_KM = 50

const holds = ({ seal }: StepRecord) => seal === 'holds' || seal === 'passed'

/** What may still be to do when the sticker is written: the steps of the phase in which the vehicle is handed over. */
function atTheEnd({ bundle }: JobRecord): (each: StepRecord) => boolean {
  const last = bundle.steps.find(({ id }) => id === handOverStep(bundle))
  if (!last) return () => false
  return ({ step }) => step.id === last.id || (bundle.phases.length > 1 && step.phase === last.phase)
}

/** Closed by the end of all steps; or still open, and nothing but the hand-over, with its papers, is left. */
export function isFinished(record: JobRecord): boolean {
  if (record.closed) {
    const end = record.closed.body.end
    return record.machine.ends.some(({ id, all_must }) => id === end && all_must)
  }
  const mayBeLeft = atTheEnd(record)
  return listed(record).every((each) => holds(each) || !each.step.must || mayBeLeft(each))
}

/** The odometer as this job read it: by the last step that asks for it, else at the opening. */
export function odometerOf(record: JobRecord): number {
  const read = lastReadings(record).filter(({ name, unit }) => name === 'odometer' && unit === 'km')
  return Math.round(Number(read.at(-1)?.value ?? record.row.odometerKm))
}

/** The day on which the work came to its end, by the clock of the device that said so; null for no clock. */
export function dayOf({ closed, held, row }: Pick<JobRecord, 'closed' | 'held' | 'row'>): string | null {
  const works = held.filter(({ entry }) => /^(step|reading|photo|part)\./.test(entry.kind))
  const at = closed?.at ?? works.at(-1)?.entry.at ?? row.openedAt
  return dayOfMoment(at)
}

export const dueOfJob = (record: JobRecord) =>
  dueOf(record.bundle.interval, odometerOf(record), dayOf(record))

/** Whose the job is, where it was asked. */
export function customerOf({ held }: Pick<JobRecord, 'held'>): Ref | null {
  const named = held.flatMap(({ entry }) => (entry.body as { customer?: Ref }).customer ?? [])
  return named.at(-1) ?? null
}

/** A row for each piece that an entry can keep. */
function inRows(under: string, name: string, parts: readonly string[]): SheetRow[] {
  const rows: string[] = []
  for (const part of parts.map((each) => each.slice(0, LONGEST))) {
    const last = rows.at(-1)
    if (last !== undefined && last.length + part.length + 2 < LONGEST)
      rows[rows.length - 1] = `${last}; ${part}`
    else rows.push(part)
  }
  return rows.map((words) => ({ under, name, says: words }))
}

function vehicleRows(record: JobRecord, { workshopName }: HandedBy): SheetRow[] {
  const under = t(says.vehicleHead)
  const [km, day, customer] = [odometerOf(record), dayOf(record), customerOf(record)]
  return [
    { under, name: t(says.vehicle), says: record.bundle.vehicle },
    { under, name: t(says.plate), value: record.row.plate },
    { under, name: t(says.vin), value: record.row.vin },
    {
      under,
      name: t(says.odometer),
      says: km > 0 ? dialWords(km, dialUnitOf(record.held)) : t(says.noOdometer),
    },
    { under, name: t(says.day), says: day === null ? t(says.noDay) : t(says.onDay, { day }) },
    ...(customer ? [{ under, name: t(says.customer), value: customer }] : []),
    { under, name: t(says.workshop), says: workshopName },
    { under, name: t(says.job), says: jobCode(record.row.job) },
  ]
}

function endRows(record: JobRecord): SheetRow[] {
  const under = t(says.doneHead)
  if (isFinished(record)) return []
  if (!record.closed) return [{ under, name: t(says.notYet), says: t(says.notYetSays) }]
  const { end, because } = record.closed.body
  const name = record.bundle.ends.find(({ id }) => id === end)?.name ?? end
  return [
    { under, name: t(says.endedSo), says: name },
    ...(because ? [{ under, name: t(says.endedBecause), value: because }] : []),
  ]
}

const doneRows = (record: JobRecord): SheetRow[] =>
  record.phases.flatMap(({ name, steps }) => {
    const done = steps.filter((each) => holds(each) && !each.step.undo)
    return inRows(
      t(says.doneHead),
      name,
      done.map(({ step }) => step.title),
    )
  })

function dueRows(record: JobRecord): SheetRow[] {
  const under = t(says.nextDueHead)
  if (!isFinished(record)) return []
  const { day, km } = dueOfJob(record)
  if (day === null && km === null) return [{ under, name: t(says.byDay), says: t(says.dueByMaker) }]
  return [
    ...(day === null ? [] : [{ under, name: t(says.byDay), says: t(says.onDay, { day }) }]),
    ...(km === null ? [] : [{ under, name: t(says.byKm), says: dialWords(km, dialUnitOf(record.held)) }]),
    { under, name: t(says.whicheverFirst), says: t(says.whicheverSays) },
  ]
}

/** That nothing was found can be said at the end alone. */
function orNothing(record: JobRecord, rows: SheetRow[]): SheetRow[] {
  if (rows.length > 0 || !isFinished(record)) return rows
  return [{ under: t(says.findings), name: t(says.nothingFound), says: t(says.nothingFoundSays) }]
}

const knows = ({ bundle }: JobRecord, condition: string) =>
  bundle.conditions.some(({ id }) => id === condition)

function recheckRows(record: JobRecord): SheetRow[] {
  if (!isFinished(record)) return []
  const under = t(says.recheckHead)
  const km = odometerOf(record)
  const isRead = km > 0
  const unit = dialUnitOf(record.held)
  const at = (more: number) => ({ unit, km: onDial(km + more, unit) })
  const [low, high] = WHEEL_BOLTS_KM
  const rows: SheetRow[] = []
  if (knows(record, 'follow_up'))
    rows.push({
      under,
      name: t(says.roadside),
      says: isRead ? t(says.roadsideAt, at(ROADSIDE_KM)) : t(says.roadsideAfter),
    })
  if (knows(record, 'wheels'))
    rows.push({
      under,
      name: t(says.wheelBolts),
      says: isRead ? t(says.wheelBoltsAt, { ...at(high), low: at(low).km }) : t(says.wheelBoltsAfter),
    })
  if (knows(record, 'level')) rows.push({ under, name: t(says.coolantLevel), says: t(says.coolantLevelSays) })
  if (!knows(record, 'follow_up'))
    rows.push({
      under,
      name: t(says.look),
      says: isRead ? t(says.lookAt, at(LOOK_KM)) : t(says.lookAfter),
    })
  return rows
}

export function partWords({ article, lot, serial }: PartIn): string {
  const part = article === null ? t(says.lot, { lot }) : t(says.lotWithArticle, { article, lot })
  return serial === null ? part : t(says.lotWithSerial, { part, serial })
}

function partRows(record: JobRecord): SheetRow[] {
  const under = t(says.partsHead)
  const parts = partsIn(record)
  const once = usedOnce(record)
  if (parts.length === 0 && once.length === 0)
    return isFinished(record) ? [{ under, name: t(says.noLot), says: t(says.noLotSays) }] : []
  return [
    ...parts.map((each) => ({ under, name: capital(each.label), says: partWords(each) })),
    ...inRows(
      under,
      t(says.usedOnce),
      once.map((each) => t(says.counted, each)),
    ),
  ]
}

const isFigure = (reading: ReadingRecord) =>
  reading.says === null && reading.unit !== '' && reading.unit !== '1'

/** How each instrument of the phone came by what it says. */
const BY = { pluck: says.heard, turn: says.turned, marks: says.onPhoto } as const

function measuredWords(reading: ReadingRecord, dial: DialUnit): string {
  const { value, unit, tool, held } = reading
  const isOdometer = reading.name === 'odometer' && unit === 'km'
  const read = isOdometer ? dialWords(Math.round(Number(value)), dial) : withUnit(value, unit)
  const window = windowWords(reading)
  const said = window === '' ? read : t(says.inWindow, { read, window })
  const by = held.entry.kind === 'reading.taken' ? held.entry.body.by : undefined
  if (by !== undefined && by !== 'scan') return t(BY[by], { said })
  return tool === undefined ? said : t(says.byTool, { said, tool })
}

/** What was only said: answers that were chosen, counts, and what the step's own signature confirms. */
const saidOf = ({ step, readings }: StepRecord): string[] => [
  ...readings
    .filter((each) => each.again === null && !isFigure(each))
    .map((each) => t(says.choice, { label: each.label, says: each.says ?? each.value })),
  ...step.proof.filter(({ kind }) => kind === 'confirm').map(({ label }) => label),
]

/** Measured, photographed, said: of the steps that hold. */
function provenRows(record: JobRecord): SheetRow[] {
  const under = t(says.provenHead)
  const dial = dialUnitOf(record.held)
  const done = record.steps.filter(holds)
  const last = done.flatMap(({ readings }) => readings.filter(({ again }) => again === null))
  const photos = done.flatMap(({ photos: all }) => all.filter(({ isEarlier }) => !isEarlier))
  return [
    ...last
      .filter(isFigure)
      .map((each) => ({ under, name: capital(each.label), says: measuredWords(each, dial) })),
    ...inRows(
      under,
      t(says.photographed),
      photos.map(({ label }) => label),
    ),
    ...inRows(under, t(says.saidBy), done.flatMap(saidOf)),
    ...inRows(
      under,
      t(says.signedBy),
      done.flatMap(({ signatures }) => signatures.map(({ label }) => label)),
    ),
  ]
}

function listenRows({ bundle }: JobRecord): SheetRow[] {
  const under = t(says.listenHead)
  const isTimed = bundle.drive?.belt.teeth !== undefined
  const words: (readonly [string, string])[] = [
    [t(says.knock), t(says.knockSays)],
    [t(says.lamp), t(says.lampSays)],
    ...(isTimed
      ? ([
          [t(says.slap), t(says.slapSays)],
          [t(says.whine), t(says.whineSays)],
        ] as const)
      : ([[t(says.squeal), t(says.squealSays)]] as const)),
    [t(says.drops), t(says.dropsSays)],
  ]
  return words.map(([name, what]) => ({ under, name, says: what }))
}

/** As long as an entry keeps a line. */
const fitting = ({ under, name, ...rest }: SheetRow): SheetRow => ({
  under: under.slice(0, 64),
  name: name.slice(0, 200),
  ...rest,
  ...(rest.says === undefined ? {} : { says: rest.says.slice(0, LONGEST) }),
})

/** What is told, in the order in which it is read. */
export const handOver = (record: JobRecord, by: HandedBy): SheetRow[] => allRows(record, by).map(fitting)

const allRows = (record: JobRecord, by: HandedBy): SheetRow[] => [
  ...vehicleRows(record, by),
  ...endRows(record),
  ...doneRows(record),
  ...orNothing(record, foundRows(record)),
  ...dueRows(record),
  ...recheckRows(record),
  ...(isFinished(record) ? listenRows(record) : []),
  ...partRows(record),
  ...provenRows(record),
]

/** The one line at the foot: the cheapest witness of what the record was. */
export const footWords = ({ state }: JobRecord, { workshop }: HandedBy): string =>
  t(says.foot, {
    heads: state.heads.map((head) => head.slice(0, 12)).join(' '),
    workshop: workshop.slice(0, 12),
  })
