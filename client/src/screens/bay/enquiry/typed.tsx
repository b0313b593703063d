/** What is typed on the telephone: each may be left empty, and is asked again when the vehicle comes. */
import { EntryLine, LetterPad, NumberPad } from '../../../parts/pad'
import { fittedDay, fittedFault, kmOf, newest, odometerDoubt } from '../../../work/enquiry'
import { dialUnitIn, dialWords } from '../../../work/dial-unit'
import { dayWords } from '../../../work/format'
import { MOST_KM, odometer } from '../../../work/odometer'
import { dialled } from '../../../work/telephone'
import { CustomerLines } from '../customer-lines'
import { type AskedProps, MilesRow, Stage } from '../stage'
import { TypedLine } from '../typed-line'
import type { StageProps } from './props'
import * as words from '../../../words/en/bay/enquiry/typed'
import { t } from '../../../words/message'

const LONGEST_PLATE = 16
const LONGEST_FIGURE = 12

export function CallerStage({ draft, set, on, back }: StageProps) {
  const hasNumber = dialled(draft.phone) !== ''
  return (
    <Stage
      title={t(words.whoCalls)}
      label={hasNumber ? draft.phone.trim() : t(words.noTelephone)}
      {...(hasNumber ? {} : { note: t(words.nobodyCanCall) })}
      on={on}
      back={back}
    >
      <CustomerLines of={draft} set={set} />
    </Stage>
  )
}

/** Our pad has Latin letters and figures; who taps the line has the phone's own keys, for plates of other countries. */
export function PlateStage({ draft, set, on, back, known }: StageProps) {
  const plate = draft.plate.trim()
  const last = newest(known.readings)
  const type = (text: string) => set({ plate: text.toUpperCase().slice(0, LONGEST_PLATE) })
  return (
    <Stage
      title={t(words.plate)}
      label={plate === '' ? t(words.noPlate) : plate}
      {...(last ? { note: t(words.wasHere, { day: dayWords(last.on) }) } : {})}
      on={on}
      back={back}
    >
      <div>
        <EntryLine
          id="call-plate"
          label={t(words.plateHint)}
          value={draft.plate}
          mode="text"
          onValue={type}
        />
      </div>
      <LetterPad value={draft.plate} onValue={type} />
    </Stage>
  )
}

interface FigureProps extends AskedProps {
  /** What the line of the figure says. */
  line: string
  value: string
  onValue: (value: string) => void
  decimal?: boolean
}

function FigureStage({ line, value, onValue, decimal = false, children, ...asked }: FigureProps) {
  const type = (text: string) => onValue(text.slice(0, LONGEST_FIGURE))
  return (
    <Stage {...asked}>
      <div>
        <EntryLine id="figure" label={line} value={value} onValue={type} />
      </div>
      <NumberPad value={value} onValue={type} decimal={decimal} />
      {children}
    </Stage>
  )
}

export function OdometerStage({ draft, set, on, back, known, today }: StageProps) {
  const read = odometer(draft.odometer, draft.inMiles)
  const isEmpty = draft.odometer.trim() === ''
  const odd = 'km' in read ? odometerDoubt(read.km, newest(known.readings), today) : null
  const wants =
    !isEmpty && 'wrong' in read
      ? { label: t(words.noFigure), note: t(words.figureWrong, { wrong: read.wrong, most: MOST_KM }) }
      : null
  return (
    <FigureStage
      title={t(words.odometer)}
      line={t(words.odometerHint, { inMiles: draft.inMiles })}
      value={draft.odometer}
      onValue={(odometer) => set({ odometer })}
      wants={wants}
      label={'km' in read ? dialWords(read.km, dialUnitIn(draft)) : t(words.notRead)}
      {...(isEmpty ? { note: t(words.readWhenItComes) } : odd ? { note: t(words.askedAtTheEnd) } : {})}
      on={on}
      back={back}
    >
      {odd && <p class="stop-words">{odd.says}</p>}
      <MilesRow inMiles={draft.inMiles} set={set} />
    </FigureStage>
  )
}

export function FittedStage({ draft, set, on, back, today }: StageProps) {
  const fault = fittedFault({ ...draft, fittedKm: '' }, today)
  const day = fittedDay(draft.fittedOn)
  return (
    <FigureStage
      title={t(words.whenFitted)}
      line={t(words.whenFittedHint)}
      value={draft.fittedOn}
      onValue={(fittedOn) => set({ fittedOn })}
      decimal
      wants={fault === null ? null : { label: t(words.notADay), note: fault }}
      label={day === null ? t(words.nobodyKnows) : dayWords(day)}
      on={on}
      back={back}
    />
  )
}

export function FittedKmStage({ draft, set, on, back, today }: StageProps) {
  const fault = fittedFault({ ...draft, fittedOn: '' }, today)
  const km = kmOf(draft.fittedKm, draft.inMiles)
  return (
    <FigureStage
      title={t(words.fittedAt)}
      line={t(words.odometerHint, { inMiles: draft.inMiles })}
      value={draft.fittedKm}
      onValue={(fittedKm) => set({ fittedKm })}
      wants={fault === null ? null : { label: t(words.lookAgain), note: fault }}
      label={km === null ? t(words.nobodyKnows) : dialWords(km, dialUnitIn(draft))}
      on={on}
      back={back}
    />
  )
}

const FIGURES = [
  ['everyKm', t(words.everyKm)],
  ['everyMonths', t(words.everyMonths)],
] as const

/** Where no procedure says how long a belt may last: two figures out of the maker's data. */
export function IntervalStage({ draft, set, on, back }: StageProps) {
  const [km, months] = [draft.everyKm, draft.everyMonths].map((typed) => odometer(typed, false))
  const isWrong = [km, months].some((read) => 'wrong' in read! && read.wrong !== 'none')
  const isEmpty = [km, months].every((read) => 'wrong' in read!)
  return (
    <Stage
      title={t(words.howLong)}
      wants={isWrong ? { label: t(words.noFigure), note: t(words.wholeFigures) } : null}
      label={isEmpty ? t(words.notKnownYet) : t(words.itIsSo)}
      on={on}
      back={back}
    >
      {FIGURES.map(([field, label]) => (
        <TypedLine
          key={field}
          id={field}
          label={label}
          value={draft[field]}
          mode="tel"
          longest={LONGEST_FIGURE}
          onValue={(typed) => set({ [field]: typed })}
        />
      ))}
      <p class="soft">{t(words.outOfMakersData)}</p>
    </Stage>
  )
}
