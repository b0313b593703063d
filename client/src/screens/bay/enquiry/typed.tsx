/** What is typed on the telephone: each may be left empty, and is asked again when the vehicle comes. */
import type { ComponentChildren } from 'preact'
import { PlainKey, MissingKey } from '../../../parts/keys'
import { EntryLine, LetterPad, NumberPad } from '../../../parts/pad'
import { fittedDay, fittedFault, kmOf, newest, odometerDoubt } from '../../../work/enquiry'
import { dialUnitIn, dialWords } from '../../../work/dial-unit'
import { dayWords } from '../../../work/format'
import { MOST_KM, odometer } from '../../../work/odometer'
import { dialled } from '../../../work/telephone'
import { BackKey } from '../act-keys'
import { CustomerLines } from '../customer-lines'
import { Frame } from '../frame'
import { RowKey } from '../rows'
import { TypedLine } from '../typed-line'
import type { StageProps } from './props'
import * as words from '../../../words/en/bay/enquiry/typed'
import { t } from '../../../words/message'

const LONGEST_PLATE = 16
const LONGEST_FIGURE = 12

export function CallerStage({ draft, set, on, back }: StageProps) {
  const hasNumber = dialled(draft.phone) !== ''
  return (
    <Frame
      title={t(words.whoCalls)}
      side={<BackKey back={back} />}
      main={
        <PlainKey
          label={hasNumber ? draft.phone.trim() : t(words.noTelephone)}
          note={hasNumber ? t(words.goOn) : t(words.nobodyCanCall)}
          onPress={on}
        />
      }
    >
      <CustomerLines of={draft} set={set} />
    </Frame>
  )
}

/** Our pad has Latin letters and figures; who taps the line has the phone's own keys, for plates of other countries. */
export function PlateStage({ draft, set, on, back, known }: StageProps) {
  const plate = draft.plate.trim()
  const last = newest(known.readings)
  const type = (text: string) => set({ plate: text.toUpperCase().slice(0, LONGEST_PLATE) })
  return (
    <Frame
      title={t(words.plate)}
      side={<BackKey back={back} />}
      main={
        <PlainKey
          label={plate === '' ? t(words.noPlate) : plate}
          note={last ? t(words.wasHere, { day: dayWords(last.on) }) : t(words.goOn)}
          onPress={on}
        />
      }
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
    </Frame>
  )
}

interface FigureProps {
  title: string
  label: string
  value: string
  onValue: (value: string) => void
  decimal?: boolean
  main: ComponentChildren
  back: () => void
  children?: ComponentChildren
}

function FigureScreen({ title, label, value, onValue, decimal = false, main, back, children }: FigureProps) {
  const type = (text: string) => onValue(text.slice(0, LONGEST_FIGURE))
  return (
    <Frame title={title} side={<BackKey back={back} />} main={main}>
      <div>
        <EntryLine id="figure" label={label} value={value} onValue={type} />
      </div>
      <NumberPad value={value} onValue={type} decimal={decimal} />
      {children}
    </Frame>
  )
}

export function OdometerStage({ draft, set, on, back, known, today }: StageProps) {
  const read = odometer(draft.odometer, draft.inMiles)
  const isEmpty = draft.odometer.trim() === ''
  const odd = 'km' in read ? odometerDoubt(read.km, newest(known.readings), today) : null
  return (
    <FigureScreen
      title={t(words.odometer)}
      label={t(words.odometerHint, { inMiles: draft.inMiles })}
      value={draft.odometer}
      onValue={(odometer) => set({ odometer })}
      back={back}
      main={
        isEmpty ? (
          <PlainKey label={t(words.notRead)} note={t(words.readWhenItComes)} onPress={on} />
        ) : 'km' in read ? (
          <PlainKey
            label={dialWords(read.km, dialUnitIn(draft))}
            note={odd ? t(words.askedAtTheEnd) : t(words.goOn)}
            onPress={on}
          />
        ) : (
          <MissingKey
            label={t(words.noFigure)}
            note={t(words.figureWrong, { wrong: read.wrong, most: MOST_KM })}
          />
        )
      }
    >
      {odd && <p class="stop-words">{odd.says}</p>}
      <ul class="rows">
        <RowKey pressed={draft.inMiles} onPress={() => set({ inMiles: !draft.inMiles })}>
          {t(words.inMiles)}
        </RowKey>
      </ul>
    </FigureScreen>
  )
}

export function FittedStage({ draft, set, on, back, today }: StageProps) {
  const fault = fittedFault({ ...draft, fittedKm: '' }, today)
  const day = fittedDay(draft.fittedOn)
  return (
    <FigureScreen
      title={t(words.whenFitted)}
      label={t(words.whenFittedHint)}
      value={draft.fittedOn}
      onValue={(fittedOn) => set({ fittedOn })}
      decimal
      back={back}
      main={
        fault !== null ? (
          <MissingKey label={t(words.notADay)} note={fault} />
        ) : (
          <PlainKey
            label={day === null ? t(words.nobodyKnows) : dayWords(day)}
            note={t(words.goOn)}
            onPress={on}
          />
        )
      }
    />
  )
}

export function FittedKmStage({ draft, set, on, back, today }: StageProps) {
  const fault = fittedFault({ ...draft, fittedOn: '' }, today)
  const km = kmOf(draft.fittedKm, draft.inMiles)
  return (
    <FigureScreen
      title={t(words.fittedAt)}
      label={t(words.odometerHint, { inMiles: draft.inMiles })}
      value={draft.fittedKm}
      onValue={(fittedKm) => set({ fittedKm })}
      back={back}
      main={
        fault !== null ? (
          <MissingKey label={t(words.lookAgain)} note={fault} />
        ) : (
          <PlainKey
            label={km === null ? t(words.nobodyKnows) : dialWords(km, dialUnitIn(draft))}
            note={t(words.goOn)}
            onPress={on}
          />
        )
      }
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
    <Frame
      title={t(words.howLong)}
      side={<BackKey back={back} />}
      main={
        isWrong ? (
          <MissingKey label={t(words.noFigure)} note={t(words.wholeFigures)} />
        ) : (
          <PlainKey
            label={isEmpty ? t(words.notKnownYet) : t(words.itIsSo)}
            note={t(words.goOn)}
            onPress={on}
          />
        )
      }
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
    </Frame>
  )
}
