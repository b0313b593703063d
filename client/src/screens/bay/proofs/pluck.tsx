/** The note of a belt span by the phone's microphone: three plucks that agree, and on which side of the window they lie. */
import { useEffect, useState } from 'preact/hooks'
import {
  reading,
  milliHz,
  NOT_HEARD,
  TOLERANCE_PERCENT,
  type End,
  type Session,
  type Window as Limits,
} from '../../../instruments/pluck-session'
import { pluckReading } from '../../../instruments/pluck-sheet'
import { MissingKey, PlainKey, SideKey } from '../../../parts/keys'
import { Scale } from '../../../parts/scale'
import type { Proof } from '../../../procedure/bundle'
import { useAwake } from '../awake'
import { RowKey } from '../rows'
import { Frame } from '../frame'
import { capital } from '../../../work/letters'
import { outsideWords, windowWords, withUnit } from '../../../work/limits'
import { shake } from '../vibrate'
import { BesideWords } from './figure-beside'
import { NotSo } from './frame'
import { ProofKey } from './proof-key'
import type { WayProps } from './props'
import { SealedWith } from './sealed-with'
import { NoWay } from './no-instrument'
import { OtherWay, OtherWayKey } from './other-way'
import { useEar, type EarNow } from './pluck-ear'
import { LevelBar, Places, VerdictWords } from './pluck-parts'
import './pluck.css'
import * as words from '../../../words/en/bay/proofs/pluck'
import { t } from '../../../words/message'
import { BackKey } from '../act-keys'

interface PluckProps {
  of: WayProps
  ear: EarNow
  limits: Limits
}
type Told = Extract<End, { value: string }>

export function PluckScreen(of: WayProps) {
  useAwake()
  const [limits] = useState(() => limitsOf(of.proof))
  const ear = useEar(limits)
  const { session, missing, phase } = ear
  const props = { of, ear, limits }
  if (missing)
    return <NoWay of={of} trouble={missing} again={missing.code === 'no-microphone' ? null : ear.begin} />
  if (phase === 'listening') return <Listen {...props} />
  if (session.end === null) return <Start {...props} />
  return 'value' in session.end ? (
    <Heard {...props} end={session.end} />
  ) : (
    <CannotTell {...props} trouble={session.end.trouble} />
  )
}

/** The window as the procedure states it; where it names no target, the middle is as good. */
function limitsOf({ low, high, target }: Proof): Limits {
  const [from, to] = [low!, high!]
  const places = Math.max(...[from, to].map((limit) => limit.split('.')[1]?.length ?? 0)) + 1
  return { low: from, high: to, nominal: target ?? ((Number(from) + Number(to)) / 2).toFixed(places) }
}

const targetWords = (proof: Proof) =>
  proof.target === undefined
    ? windowWords(proof)
    : t(words.windowAndTarget, { window: windowWords(proof), target: proof.target })

const hzOf = ({ taken }: Session) => taken.map(({ pluck }) => reading([milliHz(pluck)]).value)

function Start({ of, ear }: PluckProps) {
  const { proof, next } = of
  const opens = ear.phase === 'opening'
  return (
    <Frame
      head={of.head}
      title={proof.label}
      trouble={ear.lost ?? of.trouble}
      side={<BackKey back={of.back} />}
      main={
        <PlainKey
          label={t(words.listen)}
          note={opens ? t(words.allowTheMicrophone) : t(words.opensTheMicrophone)}
          onPress={ear.begin}
        />
      }
    >
      <p class="reason">{capital(targetWords(proof))}</p>
      <ul class="pluck-do">
        <li>{t(words.engineOff)}</li>
        <li>{t(words.phoneNear)}</li>
        <li>{t(words.fingerBeside)}</li>
        <li>{t(words.pluckThrice)}</li>
      </ul>
      <p class="soft">{t(words.soundKept)}</p>
      <OtherWay next={next} />
      {proof.hint !== undefined && <p class="soft">{proof.hint}</p>}
    </Frame>
  )
}

const TITLES = [t(words.pluckTheSpan), t(words.pluckItAgain), t(words.andOnceMore)] as const

function Listen({ of, ear }: PluckProps) {
  const { session, listening } = ear
  const taken = hzOf(session)
  const heard = session.trouble ?? (ear.isQuiet ? NOT_HEARD : null)
  const trouble = heard ?? listening?.warning
  return (
    <Frame
      head={of.head}
      title={TITLES[taken.length] ?? of.proof.label}
      trouble={trouble}
      side={<SideKey icon="back" label={t(words.stop)} onPress={ear.close} />}
      main={<MissingKey label={t(words.ofThree, { taken: taken.length })} note={t(words.itListens)} />}
    >
      {session.farInARow > 0 && heard?.code === 'far' && (
        <p class="stop-words">{t(words.farInARow, { farInARow: session.farInARow })}</p>
      )}
      <LevelBar level={ear.level} />
      <Places taken={taken} />
      <Scale {...of.proof} unit="Hz" readings={taken} />
      <p class="soft">{targetWords(of.proof)}</p>
      {trouble && <OtherWay next={of.next} />}
    </Frame>
  )
}

/** (most - least) / middle, in percent, one decimal. */
function spreadPercent(taken: readonly number[]): string {
  const [least, middle, most] = [...taken].sort((one, other) => one - other) as [number, number, number]
  return ((100 * (most - least)) / middle).toFixed(1)
}

/** What three plucks may be off at that note, Hz. */
const offHz = (value: string) => ((Number(value) * TOLERANCE_PERCENT) / 100).toFixed(1)

function nearWords({ verdict }: Told): string {
  if (verdict === 'in-range') return t(words.maybeOutside)
  return t(words.maybeInside)
}

function Heard({ of, ear, limits, end }: PluckProps & { end: Told }) {
  const { proof, fail } = of
  const { session, listening } = ear
  const { verdict, value, isNearLimit } = end
  const isInside = verdict === 'in-range'
  useEffect(() => {
    if (!isInside) shake()
  }, [isInside])
  const keep = async () => {
    const { sheet, clips } = await pluckReading(session.taken, limits, listening!.microphone)
    await of.keep({
      kind: 'measured',
      value,
      by: 'pluck',
      sheet,
      clips: clips.map((clip) => new Blob([clip], { type: 'audio/wav' })),
    })()
  }
  const side = isInside ? (
    <SideKey icon="again" label={t(words.again)} onPress={ear.begin} />
  ) : (
    <NotSo {...of} />
  )
  return (
    <Frame
      head={of.head}
      title={isInside ? proof.label : outsideWords(value, proof)}
      trouble={of.trouble}
      side={side}
      main={
        isInside ? (
          <ProofKey of={of} label={withUnit(value, 'Hz')} onGiven={keep} />
        ) : (
          <PlainKey label={t(words.measureAgain)} note={windowWords(proof)} onPress={ear.begin} />
        )
      }
    >
      <VerdictWords verdict={verdict} />
      <p class="figure pluck-figure">
        {value} <small>Hz</small>
      </p>
      <Scale {...proof} unit="Hz" readings={hzOf(session)} />
      <p>
        {t(words.howTrue, {
          hz: hzOf(session).join(', '),
          apart: spreadPercent(session.taken.map(({ pluck }) => milliHz(pluck))),
          percent: TOLERANCE_PERCENT,
          off: offHz(value),
        })}
      </p>
      {isNearLimit && <p class="reason">{nearWords(end)}</p>}
      {listening?.warning && (
        <p class="stop-words">
          {listening.warning.message} {listening.warning.hint}
        </p>
      )}
      <BesideWords {...of} value={value} />
      {!isInside && <p class="stop-words">{t(words.notSigned)}</p>}
      {isInside && <SealedWith {...of} />}
      {!isInside && <p>{fail ? t(words.ifSoFailKey) : t(words.ifSoNote)}</p>}
      {(listening?.warning || !isInside) && <OtherWay next={of.next} />}
    </Frame>
  )
}

/** Three plucks in a row that fitted two readings, or that never agreed: nothing is kept. */
function CannotTell({
  of,
  ear,
  trouble,
}: PluckProps & { trouble: { code: string; message: string; hint: string } }) {
  const { next } = of
  useEffect(shake, [])
  return (
    <Frame
      head={of.head}
      title={of.proof.label}
      trouble={trouble}
      side={<NotSo {...of} />}
      main={
        next ? (
          <OtherWayKey next={next} />
        ) : (
          <PlainKey label={t(words.listenAgain)} note={t(words.whenItIsMended)} onPress={ear.begin} />
        )
      }
    >
      <p class="figure pluck-figure">{t(words.cannotTell)}</p>
      <p>{t(words.nothingKept)}</p>
      {next && (
        <ul class="rows">
          <RowKey note={t(words.whenItIsMended)} onPress={ear.begin}>
            {t(words.listenAgain)}
          </RowKey>
        </ul>
      )}
    </Frame>
  )
}
