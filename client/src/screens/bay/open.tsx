/** Open a job: one thing a screen. The engine's own code chooses the procedure, never the model's name. */
import { useEffect, useState } from 'preact/hooks'
import { HoldKey, MissingKey, PlainKey } from '../../parts/keys'
import { EntryLine, LetterEntry, LetterPad, NumberPad } from '../../parts/pad'
import { uuid7 } from '../../ledger/uuid'
import type { BundleRow, Trouble } from '../../store'
import { checkVin } from '../../trade/identity'
import { BackKey } from './act-keys'
import type { Rooms } from '../rooms'
import { useAct } from './act'
import { Cautions } from './cautions'
import { Facts } from './facts'
import { RowKey } from './rows'
import { Frame } from './frame'
import { CodeFinder } from './proofs/camera-screens'
import { kilometres, openJob } from '../../work/write'
import * as words from '../../words/en/bay/open'
import * as state from '../../words/en/work/state'
import { t } from '../../words/message'
import { reading } from '../reading'

const VIN_LENGTH = 17
/** A longer text than a VIN is kept as it was pasted, so that it is refused in words and not cut to look like one. */
const LONGEST_PASTED = 64
const LAST_BAY = 'bay'

interface Draft {
  vin: string
  plate: string
  odometer: string
  bundle: BundleRow | null
  code: string
  bay: string
}
type Stage = 'vin' | 'plate' | 'odometer' | 'engine' | 'bay' | 'sum'
const STAGES: readonly Stage[] = ['vin', 'plate', 'odometer', 'engine', 'bay', 'sum']

interface StageProps {
  draft: Draft
  set: (part: Partial<Draft>) => void
  on: () => void
  back: () => void
  trouble: Trouble | null
}

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
    <Frame
      title={t(words.plate)}
      side={<BackKey back={back} />}
      main={
        plate === '' ? (
          <MissingKey label={t(words.noPlateYet)} />
        ) : (
          <PlainKey label={plate} note={t(words.itIsTheOne)} onPress={on} />
        )
      }
    >
      <LetterEntry
        id="plate"
        label={t(words.plateHint)}
        value={draft.plate}
        onValue={(text) => set({ plate: text.toUpperCase().slice(0, 16) })}
      />
    </Frame>
  )
}

function OdometerStage({ draft, set, on, back }: StageProps) {
  const km = kilometres(draft.odometer)
  return (
    <Frame
      title={t(words.odometer)}
      side={<BackKey back={back} />}
      main={
        km === null ? (
          <MissingKey label={t(words.noFigureYet)} note={t(words.km)} />
        ) : (
          <PlainKey label={t(words.kmRead, { km })} note={t(words.itIsSo)} onPress={on} />
        )
      }
    >
      <div>
        <EntryLine
          id="odometer"
          label={t(words.odometerHint)}
          value={draft.odometer}
          onValue={(odometer) => set({ odometer: odometer.slice(0, 7) })}
        />
      </div>
      <NumberPad
        value={draft.odometer}
        onValue={(odometer) => set({ odometer: odometer.slice(0, 7) })}
        decimal={false}
      />
    </Frame>
  )
}

/** Each engine code of the offered bundles, newest edition of each procedure only. */
export function codesOf(bundles: readonly BundleRow[]): { code: string; bundle: BundleRow }[] {
  const newest = new Map<string, BundleRow>()
  for (const bundle of bundles.filter(({ offered }) => offered)) {
    const known = newest.get(bundle.id)
    if (!known || known.edition < bundle.edition) newest.set(bundle.id, bundle)
  }
  return [...newest.values()]
    .flatMap((bundle) => bundle.engineCodes.map((code) => ({ code, bundle })))
    .sort((a, b) => (a.code < b.code ? -1 : 1))
}

function EngineStage({ draft, set, on, back, bundles }: StageProps & { bundles: readonly BundleRow[] }) {
  const [other, setOther] = useState(false)
  const codes = codesOf(bundles)
  const held = bundles.filter(({ offered }) => !offered)
  const none: Trouble = {
    code: 'no-procedure',
    message: t(words.noProcedure),
    hint: t(words.noProcedureHint),
  }
  return (
    <Frame
      title={t(words.engineCode)}
      trouble={other || codes.length === 0 ? none : null}
      side={<BackKey back={back} />}
      main={
        draft.bundle ? (
          <PlainKey label={draft.code} note={t(words.isOnTheBlock)} onPress={on} />
        ) : (
          <MissingKey label={t(words.chooseAbove)} note={t(words.readBlock)} />
        )
      }
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
    </Frame>
  )
}

function BayStage({ draft, set, on, back }: StageProps) {
  const bay = draft.bay.trim()
  return (
    <Frame
      title={t(words.bayTitle)}
      side={<BackKey back={back} />}
      main={
        bay === '' ? (
          <MissingKey label={t(words.noPlaceYet)} />
        ) : (
          <PlainKey label={bay} note={t(words.itStandsHere)} onPress={on} />
        )
      }
    >
      <LetterEntry
        id="bay"
        label={t(words.bayRampOrYard)}
        value={draft.bay}
        onValue={(text) => set({ bay: text.slice(0, 64) })}
      />
    </Frame>
  )
}

function SumStage({
  draft,
  back,
  trouble,
  open,
  cautions,
}: StageProps & { open: () => Promise<void>; cautions: readonly string[] }) {
  return (
    <Frame
      title={t(words.confirmTitle)}
      trouble={trouble}
      side={<BackKey back={back} />}
      main={<HoldKey label={t(words.openTheJob)} done={t(words.onThisPhone)} onHeld={open} />}
    >
      <Facts
        facts={[
          [t(words.vinLabel), draft.vin],
          [t(words.plateLabel), draft.plate],
          [t(words.odometerLabel), t(words.kmRead, { km: kilometres(draft.odometer) ?? '' })],
          [t(words.engineLabel), draft.code],
          [
            t(words.procedureLabel),
            t(state.edition, { name: draft.bundle?.name ?? '', edition: draft.bundle?.edition ?? '' }),
          ],
          [t(words.standsAt), draft.bay],
        ]}
      />
      <Cautions cautions={cautions} />
      <p class="soft">{t(words.privateValues)}</p>
    </Frame>
  )
}

export function OpenRoom({
  store,
  back,
  opened,
}: Rooms & { back: () => void; opened: (job: string) => void }) {
  const [stage, setStage] = useState<Stage>('vin')
  const [draft, setDraft] = useState<Draft>({
    vin: '',
    plate: '',
    odometer: '',
    bundle: null,
    code: '',
    bay: '',
  })
  const [bundles, setBundles] = useState<BundleRow[]>([])
  const [cautions, setCautions] = useState<readonly string[]>([])
  const { trouble, run } = useAct()
  const set = (part: Partial<Draft>) => setDraft((before) => ({ ...before, ...part }))
  const changed = store.changed.value
  useEffect(() => reading(store.bundles(), setBundles), [store, changed])
  const chosen = draft.bundle?.bundle
  useEffect(() => {
    setCautions([])
    if (chosen === undefined) return undefined
    return reading(store.bundle(chosen), (bundle) => setCautions(bundle?.cautions ?? []))
  }, [store, chosen])
  useEffect(
    () => reading(store.setting(LAST_BAY), (bay) => bay && setDraft((before) => ({ ...before, bay }))),
    [store],
  )
  const step = (by: number) => {
    const next = STAGES[STAGES.indexOf(stage) + by]
    if (next) setStage(next)
    else back()
  }
  const open = () => {
    const job = uuid7(Date.now(), crypto.getRandomValues(new Uint8Array(10)))
    const { bundle, code } = draft
    if (!bundle) return Promise.reject(new Error('no procedure was chosen'))
    const write = () =>
      openJob(store, job, {
        bundle: bundle.bundle,
        vin: draft.vin,
        plate: draft.plate.trim(),
        odometerKm: kilometres(draft.odometer) ?? 0,
        engineCode: code,
        bay: draft.bay.trim(),
      })
    const noteBay = () => store.setSetting(LAST_BAY, draft.bay.trim())
    return run(write, t(words.jobOpened), () => opened(job), noteBay)
  }
  const props: StageProps = { draft, set, on: () => step(1), back: () => step(-1), trouble }
  switch (stage) {
    case 'vin':
      return <VinStage {...props} />
    case 'plate':
      return <PlateStage {...props} />
    case 'odometer':
      return <OdometerStage {...props} />
    case 'engine':
      return <EngineStage {...props} bundles={bundles} />
    case 'bay':
      return <BayStage {...props} />
    case 'sum':
      return <SumStage {...props} open={open} cautions={cautions} />
  }
}
