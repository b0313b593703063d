/** What is stuck on and tied to: the change sticker, the tag of the old parts, the note for the waste coolant. */
import { dueOfJob, dayOf, isFinished, odometerOf } from '../../work/hand-over'
import { jobCode } from '../../work/job-code'
import { dialAlone, dialUnitOf } from '../../work/dial-unit'
import { dayWords } from '../../work/format'
import { withUnit } from '../../work/limits'
import { litres, partsIn } from '../../work/parts-used'
import type { JobRecord } from '../../work/record'
import { Secret } from '../record/steps'
import type { Rooms } from '../rooms'
import { handedBy } from './by'
import * as words from '../../words/en/paper/stickers'
import { t } from '../../words/message'

type PaperProps = Rooms & { record: JobRecord }

const dayOr = (day: string | null) => (day === null ? t(words.noDay) : dayWords(day))
const kmOr = (km: number | null, { held }: JobRecord) =>
  km === null || km <= 0 ? t(words.noOdometer) : dialAlone(km, dialUnitOf(held))
const lotsOf = (record: JobRecord) =>
  partsIn(record)
    .map(({ label, lot }) => t(words.lotOf, { label, lot }))
    .join(', ') || t(words.noLot)

/** Letters that stand on a label beside what each has: above these the type is smaller. */
const ROOMY = 70

/** How many words it has, in steps: nothing on a label is cut, what has more words has smaller ones. */
function fulness(props: PaperProps): number {
  const letters = lotsOf(props.record).length + handedBy(props).workshopName.length
  return Math.min(Math.floor(letters / ROOMY), 2)
}

function Foot({ record, ...rooms }: PaperProps) {
  return (
    <p class="sticker-foot">
      <b>{jobCode(record.row.job)}</b> {handedBy(rooms).workshopName}
    </p>
  )
}

/** For a place where the next workshop looks: under the bonnet. */
export function Sticker(props: PaperProps) {
  const { record } = props
  if (!isFinished(record)) return <p>{t(words.notFinished)}</p>
  const due = dueOfJob(record)
  return (
    <div class="sticker" data-full={fulness(props)}>
      <h1>{t(record.bundle.drive.belt.teeth === undefined ? words.beltChanged : words.timingBeltChanged)}</h1>
      <p class="sticker-now">
        {dayOr(dayOf(record))} · {kmOr(odometerOf(record), record)}
      </p>
      <p class="sticker-due">
        {t(words.next)} <b>{dayOr(due.day)}</b> {t(words.or)} <b>{kmOr(due.km, record)}</b>
      </p>
      <p class="sticker-lots">{lotsOf(record)}</p>
      <Foot {...props} />
    </div>
  )
}

/** On the bag: they are kept until the warranty ends, or go with the customer. */
export function OldPartsTag(props: PaperProps) {
  const { record, ...rooms } = props
  return (
    <div class="sticker" data-full={fulness(props)}>
      <h1>{t(words.oldParts)}</h1>
      <p class="sticker-now">
        <Secret {...rooms} of={record.row.plate} fallback={t(words.noPlate)} /> · {dayOr(dayOf(record))} ·{' '}
        {kmOr(odometerOf(record), record)}
      </p>
      <p>{record.bundle.vehicle}</p>
      <p class="sticker-due">{t(words.keepThem)}</p>
      <p class="sticker-lots">{t(words.newLots, { lots: lotsOf(record) })}</p>
      <Foot {...props} />
    </div>
  )
}

/** For the waste store: how much of what went in, from which job. */
export function CoolantNote(props: PaperProps) {
  const { record } = props
  const read = litres(record)
  return (
    <div class="sticker" data-full={fulness(props)}>
      <h1>{t(words.wasteCoolant)}</h1>
      {read.length === 0 ? (
        <p>{t(words.noCoolant)}</p>
      ) : (
        <dl>
          {read.map(({ label, value, unit, held }) => (
            <div key={held.entry.id}>
              <dt>{label}</dt>
              <dd>{withUnit(value, unit)}</dd>
            </div>
          ))}
        </dl>
      )}
      <p class="sticker-due">{t(words.wasteRule)}</p>
      <p class="sticker-now">
        {dayOr(dayOf(record))} · {record.bundle.vehicle}
      </p>
      <Foot {...props} />
    </div>
  )
}
