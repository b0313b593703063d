/** Open a job: one thing a screen. The engine's own code chooses the procedure, never the model's name. */
import { useEffect, useState } from 'preact/hooks'
import { MissingKey, PlainKey } from '../../parts/keys'
import { EntryLine, LetterEntry, LetterPad, NumberPad } from '../../parts/pad'
import { uuid7 } from '../../ledger/uuid'
import { dialUnitIn, dialWords } from '../../work/dial-unit'
import type { BundleRow, Trouble } from '../../store'
import { checkVin } from '../../trade/identity'
import { BackKey } from './act-keys'
import type { Rooms } from '../rooms'
import { useAct } from './act'
import { RowKey } from './rows'
import { useDraft } from './drafts'
import { Frame } from './frame'
import { useResume } from './resume-draft'
import { MilesRow, Stage } from './stage'
import { goBay } from './nav'
import { draftOf, EMPTY, kmOf, STAGES, stageOf, typedWords, type Draft, type StageProps } from './open-draft'
import { CustomerStage, SumStage } from './open-end'
import { CodeFinder } from './proofs/camera-screens'
import { isoDay } from '../../work/format'
import { MOST_KM, odometer } from '../../work/odometer'
import { newest } from '../../work/enquiry'
import { knownVehicle, NOTHING_KNOWN } from '../../work/known-vehicle'
import { newestByCode } from '../../work/offered'
import { carriedCall, carriedOr, doubtsOf, type CarriedCall } from '../../work/opening'
import { openJob } from '../../work/write'
import * as words from '../../words/en/bay/open'
import * as state from '../../words/en/work/state'
import { t } from '../../words/message'
import { reading } from '../reading'

const VIN_LENGTH = 17
/** A longer text than a VIN is kept as it was pasted, so that it is refused in words and not cut to look like one. */
const LONGEST_PASTED = 64
const LAST_BAY = 'bay'
/** What the dial counted that was read last: most vehicles of a workshop count alike. */
const LAST_DIAL = 'dial'
/** With its spaces and commas. */
const LONGEST_ODOMETER = 12

const plain = (text: string) => text.toUpperCase().replace(/[^A-Z0-9]/g, '')

/** Linear codes on some imported vehicles have an I before the number: common practice, no source. */
const vinInCode = (text: string) =>
  plain(text)
    .replace(/^I(?=[A-Z0-9]{17}$)/, '')
    .slice(0, LONGEST_PASTED)

function VinStage(props: StageProps) {
  const [isTyping, setTyping] = useState(props.draft.vin !== '')
  if (isTyping) return <TypedVin {...props} />
  const read = (text: string) => {
    props.set({ vin: vinInCode(text) })
    setTyping(true)
  }
  return (
    <CodeFinder
      title={t(words.vinTitle)}
      says={t(words.pointAtCode)}
      read={read}
      type={() => setTyping(true)}
      back={props.back}
    />
  )
}

function TypedVin({ draft, set, on, back }: StageProps) {
  const left = VIN_LENGTH - draft.vin.length
  const checked = checkVin(draft.vin)
  const whole = left <= 0
  const wrong = whole && !checked.accepted
  const again = checked.again.map(({ position, read, perhaps }) =>
    t(words.placeOr, { position, read, perhaps }),
  )
  return (
    <Frame
      title={t(words.vinTitle)}
      trouble={wrong ? checked : null}
      side={<BackKey back={back} />}
      main={
        left > 0 ? (
          <MissingKey label={t(words.toGo, { left })} note={t(words.vinLength)} />
        ) : wrong ? (
          <MissingKey
            label={t(words.lookAgain)}
            note={left < 0 ? t(words.tooMany, { left: -left }) : t(words.atBothPlaces)}
          />
        ) : (
          <PlainKey label={t(words.vinIsRight)} onPress={on} />
        )
      }
    >
      <div>
        <EntryLine
          id="vin"
          label={t(words.vinCharacters)}
          {...(whole ? { describedBy: 'vin-words' } : {})}
          value={draft.vin}
          onValue={(text) => set({ vin: plain(text).slice(0, LONGEST_PASTED) })}
          long
        />
      </div>
      {whole ? (
        <div id="vin-words" class="spread rows-tight">
          {!wrong && <p>{checked.message}</p>}
          {!wrong && <p>{checked.hint}</p>}
          {wrong && again.length > 0 && <p>{t(words.lookAt, { again: again.slice(0, 4).join(', ') })}</p>}
          <ul class="rows">
            <RowKey onPress={() => set({ vin: draft.vin.slice(0, -1) })}>{t(words.takeBack)}</RowKey>
          </ul>
        </div>
      ) : (
        <LetterPad
          value={draft.vin}
          onValue={(text) => set({ vin: plain(text).slice(0, VIN_LENGTH) })}
          without="IOQ-"
        />
      )}
    </Frame>
  )
}

function PlateStage({ draft, set, on, back }: StageProps) {
  const plate = draft.plate.trim()
  return (
    <Stage
      title={t(words.plate)}
      wants={plate === '' ? { label: t(words.noPlateYet) } : null}
      label={plate}
      note={t(words.itIsTheOne)}
      on={on}
      back={back}
    >
      <LetterEntry
        id="plate"
        label={t(words.plateHint)}
        value={draft.plate}
        mode="text"
        onValue={(text) => set({ plate: text.toUpperCase().slice(0, 16) })}
      />
    </Stage>
  )
}

function OdometerStage({ draft, set, on, back }: StageProps) {
  const read = odometer(draft.odometer, draft.inMiles)
  const wants =
    'wrong' in read
      ? { label: t(words.noFigureYet), note: t(words.odometerWrong, { wrong: read.wrong, most: MOST_KM }) }
      : null
  const type = (text: string) => set({ odometer: text.slice(0, LONGEST_ODOMETER) })
  return (
    <Stage
      title={t(words.odometer)}
      wants={wants}
      label={'km' in read ? dialWords(read.km, dialUnitIn(draft)) : ''}
      note={t(words.itIsSo)}
      on={on}
      back={back}
    >
      <div>
        <EntryLine
          id="odometer"
          label={t(words.odometerHint, { inMiles: draft.inMiles })}
          value={draft.odometer}
          onValue={type}
        />
      </div>
      <NumberPad value={draft.odometer} onValue={type} decimal={false} />
      <MilesRow inMiles={draft.inMiles} set={set} />
    </Stage>
  )
}

function EngineStage({ draft, set, on, back, bundles }: StageProps) {
  const [other, setOther] = useState(false)
  const codes = newestByCode(bundles)
  const held = bundles.filter(({ offered }) => !offered)
  const none: Trouble = {
    code: 'no-procedure',
    message: t(words.noProcedure),
    hint: t(words.noProcedureHint),
  }
  return (
    <Stage
      title={t(words.engineCode)}
      trouble={other || codes.length === 0 ? none : null}
      wants={draft.bundle ? null : { label: t(words.chooseAbove), note: t(words.readBlock) }}
      label={draft.code}
      note={t(words.isOnTheBlock)}
      on={on}
      back={back}
    >
      <ul class="rows" aria-label={t(words.procedures)}>
        {codes.map(({ code, bundle }) => (
          <RowKey
            pressed={draft.code === code && draft.bundle?.bundle === bundle.bundle}
            note={t(state.edition, { name: bundle.name, edition: bundle.edition })}
            onPress={() => {
              setOther(false)
              set({ code, bundle })
            }}
          >
            <b>{code}</b>
          </RowKey>
        ))}
        <RowKey
          pressed={other}
          onPress={() => {
            setOther(true)
            set({ code: '', bundle: null })
          }}
        >
          {t(words.noneOfThese)}
        </RowKey>
      </ul>
      {held.map(({ name, edition, because }) => (
        <p class="soft">
          {t(words.editionAndWhy, {
            name,
            edition,
            message: because?.message ?? '',
            hint: because?.hint ?? '',
          })}
        </p>
      ))}
    </Stage>
  )
}

function BayStage({ draft, set, on, back, lastBay }: StageProps) {
  const bay = draft.bay.trim()
  return (
    <Stage
      title={t(words.bayTitle)}
      wants={bay === '' ? { label: t(words.noPlaceYet) } : null}
      label={bay}
      note={t(words.itStandsHere)}
      on={on}
      back={back}
    >
      {lastBay && bay === '' && (
        <ul class="rows">
          <RowKey note={t(words.lastPlace)} onPress={() => set({ bay: lastBay })}>
            {lastBay}
          </RowKey>
        </ul>
      )}
      <LetterEntry
        id="bay"
        label={t(words.bayRampOrYard)}
        value={draft.bay}
        onValue={(text) => set({ bay: text.slice(0, 64) })}
      />
    </Stage>
  )
}

interface OpenProps extends Rooms {
  /** The stage that the address names. */
  asked: string | undefined
}

/** `#/bay/open/STAGE`, and `#/bay/open/STAGE/JOB` where a job is opened that somebody asked for. */
export const OpenRoom = ({ parts: [stage, call], ...rooms }: Rooms & { parts: (string | undefined)[] }) => (
  <OpenBy key={call} {...rooms} asked={stage} call={call || undefined} />
)

/** What is here before anything is typed. */
interface Begun {
  call: CarriedCall | null
  bundles: readonly BundleRow[]
  inMiles: boolean
}

function OpenBy({ call, ...props }: OpenProps & { call: string | undefined }) {
  const { store } = props
  const [found, setFound] = useState<Begun | null>(null)
  const changed = store.changed.value
  useEffect(() => {
    const load = async () => ({
      call: call === undefined ? null : await carriedCall(store, call),
      bundles: await store.bundles(),
      inMiles: (await store.setting(LAST_DIAL)) === 'mi',
    })
    return reading(load(), setFound)
  }, [store, call, changed])
  if (found === null) return <main class="bay" aria-busy="true" />
  return <Opening {...props} {...found} />
}

function useLastReading({ store }: Rooms, plate: string) {
  const [known, setKnown] = useState(NOTHING_KNOWN)
  useEffect(() => reading(knownVehicle(store, plate), setKnown), [store, plate])
  return newest(known.readings)
}

/** What is typed, one thing a screen. */
const SCREENS = {
  vin: VinStage,
  plate: PlateStage,
  odometer: OdometerStage,
  engine: EngineStage,
  bay: BayStage,
  customer: CustomerStage,
}

function Opening({ call, bundles, inMiles, asked, ...rooms }: OpenProps & Begun) {
  const { store } = rooms
  const asks = call?.row.job
  const goTo = (stage: string) => goBay('open', stage, ...(asks === undefined ? [] : [asks]))
  const back = () => (asks === undefined ? goBay() : goBay('call', asks))
  const start = call ? draftOf(call, bundles) : { ...EMPTY, inMiles }
  const [typed, setDraft, forget, since] = useDraft<Draft>(['open', asks ?? ''], start)
  // Of a vehicle that came before, perhaps: who begins is asked. By a call there is no other.
  const resume = useResume(since, !asked && call === null)
  const draft = { ...typed, bundle: bundles.find(({ bundle }) => bundle === typed.bundle?.bundle) ?? null }
  const stage = stageOf(asked, draft)
  const [cautions, setCautions] = useState<readonly string[]>([])
  const { trouble, run } = useAct()
  const set = (part: Partial<Draft>) => setDraft({ ...draft, ...part })
  const chosen = draft.bundle?.bundle
  useEffect(() => {
    setCautions([])
    if (chosen === undefined) return undefined
    return reading(store.bundle(chosen), (bundle) => setCautions(bundle?.cautions ?? []))
  }, [store, chosen])
  const [lastBay, setLastBay] = useState<string | null>(null)
  useEffect(() => reading(store.setting(LAST_BAY), setLastBay), [store])
  const before = useLastReading(rooms, draft.plate)
  const doubts = doubtsOf({ km: kmOf(draft), code: draft.code }, call, before, isoDay(new Date()))
  const step = (by: number) => {
    const at = (STAGES as readonly string[]).indexOf(stage)
    // By a call the rest is given: on to the next that is not, or to the end.
    const next = stage === 'customer' || (call && by > 0) ? stageOf('sum', draft) : STAGES[at + by]
    if (next) goTo(next)
    else back()
  }
  const open = () => {
    const job = asks ?? uuid7(Date.now(), crypto.getRandomValues(new Uint8Array(10)))
    const { bundle, code } = draft
    if (!bundle) return Promise.reject(new Error('no procedure was chosen'))
    const write = () =>
      openJob(store, job, {
        bundle: bundle.bundle,
        vin: carriedOr(call, 'vin', draft.vin),
        plate: carriedOr(call, 'plate', draft.plate.trim()),
        customer: carriedOr(call, 'customer', draft.customer.trim()),
        phone: carriedOr(call, 'phone', draft.phone.trim()),
        odometerKm: kmOf(draft),
        inMiles: draft.inMiles,
        engineCode: code,
        bay: draft.bay.trim(),
        answers: doubts.map(({ name, says }) => ({ name, text: `${says} ${draft.answers[name] ?? ''}` })),
      })
    const done = async () => {
      forget()
      await store.setSetting(LAST_BAY, draft.bay.trim())
      await store.setSetting(LAST_DIAL, dialUnitIn(draft))
    }
    return run(write, t(words.jobOpened), () => goBay('job', job), done)
  }
  if (resume)
    return resume({
      title: t(words.isBegun),
      typed: typedWords(draft),
      goOn: () => goTo(stageOf('sum', draft)),
      throwAway: () => setDraft(start),
      back,
    })
  const props: StageProps = {
    draft,
    set,
    on: () => step(1),
    back: () => step(-1),
    trouble,
    bundles,
    lastBay,
  }
  if (stage === 'sum')
    return <SumStage {...props} open={open} cautions={cautions} doubts={doubts} goTo={goTo} />
  const Screen = SCREENS[stage]
  return <Screen {...props} />
}
