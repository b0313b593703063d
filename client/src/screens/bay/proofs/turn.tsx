/** An angle by the phone's gyro, the phone riding on the tool: rest, turn, stop; strokes add up. */
import { useEffect, useState } from 'preact/hooks'
import { addTurns, type TurnFound } from '../../../instruments/turn'
import { canonical } from '../../../ledger/canonical'
import { MissingKey, PlainKey, SideKey } from '../../../parts/keys'
import type { Trouble } from '../../../store'
import { Scale as ScaleDrawing } from '../../../parts/scale'
import { HeadAndSeat } from '../../../parts/wrench'
import { RowKey } from '../rows'
import { Frame } from '../frame'
import { judge, outsideWords, windowWords, withUnit } from '../../../work/limits'
import { shake } from '../vibrate'
import { isoDay } from '../../../work/format'
import { ProofKey } from './proof-key'
import type { WayProps } from './props'
import { SealedWith } from './sealed-with'
import { NoWay } from './no-instrument'
import { OtherWay } from './other-way'
import { useGyro, type GyroNow, type Stroke } from './turn-gyro'
import {
  askedTurn,
  fitOf,
  keepScale,
  keptScale,
  scaleWords,
  toleranceWords,
  turnValue,
  type AskedTurn,
  type Scale,
} from './turn-scale'
import './instruments.css'
import * as words from '../../../words/en/bay/proofs/turn'
import { t } from '../../../words/message'
import { BackKey, NotLikeThat } from '../act-keys'

export function TurnScreen(props: WayProps) {
  const [scale, setScale] = useState<Scale | null | undefined>(undefined)
  useEffect(() => {
    void keptScale(props.store).then(setScale)
  }, [props.store])
  const asked = askedTurn(props.proof)
  const [checking, setChecking] = useState(false)
  const fit = fitOf(asked)
  if (fit === 'unfit') {
    const message = t(words.turnUnfit, { proof: windowWords(props.proof) })
    return (
      <NoWay
        of={props}
        trouble={{ code: 'turn-unfit', message, hint: t(words.turnUnfitHint) }}
        again={null}
      />
    )
  }
  if (scale === undefined) return <main class="bay" aria-busy="true" />
  if (checking || (fit === 'scaled' && scale === null)) {
    const kept = (found: Scale) => {
      setScale(found)
      setChecking(false)
    }
    return <ScaleCheck of={props} kept={kept} back={checking ? () => setChecking(false) : props.back} />
  }
  return (
    <Turning
      of={props}
      asked={asked}
      scale={scale}
      needsScale={fit === 'scaled'}
      check={() => setChecking(true)}
    />
  )
}

interface TurningProps {
  of: WayProps
  asked: AskedTurn
  scale: Scale | null
  needsScale: boolean
  check: () => void
}

function Turning(props: TurningProps) {
  const { of, scale, needsScale } = props
  const gyro = useGyro(scale)
  const [strokes, setStrokes] = useState<readonly Stroke[]>([])
  const [unlike, setUnlike] = useState<Trouble | null>(null)
  const begin = () => {
    setUnlike(null)
    gyro.begin()
  }
  const stop = () => {
    const stroke = gyro.stop()
    if (!stroke) return
    const why = unlikeTrouble(stroke, strokes, needsScale)
    setUnlike(why)
    if (why === null) setStrokes([...strokes, stroke])
  }
  if (isAtWork(gyro))
    return (
      <Capture
        of={of}
        gyro={gyro}
        asked={props.asked}
        before={sumOf(strokes)}
        says={{ turning: t(words.turnNow), before: t(words.restTheTool) }}
        stop={stop}
      />
    )
  const refused = unlike ?? gyro.refusal
  if (strokes.length === 0) return <Start {...props} refused={refused} begin={begin} />
  const again = () => {
    setUnlike(null)
    setStrokes([])
  }
  return <Turned {...props} strokes={strokes} refused={refused} begin={begin} again={again} />
}

const sumOf = (strokes: readonly Stroke[]): TurnFound | null => {
  const [first, ...rest] = strokes.map(({ found }) => found)
  return first ? addTurns([first, ...rest]) : null
}

/** Why a stroke cannot be added to those before it. */
function unlikeTrouble({ found }: Stroke, before: readonly Stroke[], needsScale: boolean): Trouble | null {
  if (needsScale && !found.is_calibrated) {
    return {
      code: 'other-axis',
      message: t(words.otherAxis),
      hint: t(words.otherAxisHint),
    }
  }
  const way = before.map((each) => each.found.sense).find((sense) => sense !== 'unknown')
  const isOther = way !== undefined && found.sense !== 'unknown' && found.sense !== way
  return isOther
    ? {
        code: 'other-way',
        message: t(words.otherWay),
        hint: t(words.otherWayHint),
      }
    : null
}

interface StartProps extends TurningProps {
  refused: Trouble | null
  begin: () => void
}

function Start({ of, asked, scale, check, refused, begin }: StartProps) {
  const { proof } = of
  return (
    <Frame
      head={of.head}
      title={proof.label}
      trouble={refused ?? of.trouble}
      side={<BackKey back={of.back} />}
      main={
        <PlainKey
          label={refused === null ? t(words.fixedToTool) : t(words.turnAgain)}
          note={t(words.thenHoldStill)}
          onPress={begin}
        />
      }
    >
      <div class="angle angle-bare">
        <div>
          <p class="turn-window">{windowWords(proof)}</p>
        </div>
        <HeadAndSeat deg={String(asked.targetDeg)} />
      </div>
      <p>{t(words.fixFlat)}</p>
      {proof.hint !== undefined && <p>{proof.hint}</p>}
      <ul class="rows">
        <RowKey note={scale ? scaleWords(scale) : t(words.checkPays)} onPress={check}>
          {t(words.checkTheSensor)}
        </RowKey>
      </ul>
      <OtherWay next={of.next} />
    </Frame>
  )
}

interface CaptureProps {
  of: WayProps
  gyro: GyroNow
  asked: AskedTurn
  before: TurnFound | null
  /** What to do: while it turns, and before the sensor is ready. */
  says: { turning: string; before: string }
  stop: () => void
}

/** Whether the sensor has the screen: it turns, wakes, or cannot be had. */
const isAtWork = (gyro: GyroNow) => gyro.missing !== null || gyro.phase !== 'rest'

/** Whole degrees while it turns: more would promise what the sensor cannot tell. */
const liveWords = (mdeg: number, { unit }: AskedTurn) =>
  unit === 'turns' ? (mdeg / 360_000).toFixed(2) : String(Math.round(mdeg / 1000))

function Capture({ of, gyro, asked, before, says, stop }: CaptureProps) {
  if (gyro.missing) return <NoWay of={of} trouble={gyro.missing} again={gyro.begin} />
  const turns = gyro.phase === 'turning'
  const mdeg = (before?.mdeg ?? 0) + (gyro.live?.mdeg ?? 0)
  return (
    <Frame
      head={of.head}
      title={turns ? says.turning : says.before}
      side={<SideKey icon="back" label={t(words.letGo)} onPress={gyro.drop} />}
      main={
        turns ? (
          <PlainKey label={t(words.stopHere)} note={t(words.whenTheToolRests)} onPress={stop} />
        ) : (
          <MissingKey
            {...(gyro.phase === 'opening'
              ? { label: t(words.sensorWakes) }
              : { label: t(words.holdStill), note: t(words.forOneSecond) })}
          />
        )
      }
    >
      <p class="turn-figure" role="img" aria-label={t(words.turnedSoFar)}>
        {liveWords(mdeg, asked)}
        {asked.unit === '°' && <small>°</small>}
      </p>
      <p class="turn-of">
        {t(words.of, {
          unit:
            asked.unit === 'turns'
              ? withUnit((asked.targetDeg / 360).toFixed(2), 'turns')
              : `${asked.targetDeg}°`,
        })}
      </p>
      <div class="turn-drawing">
        <HeadAndSeat deg={String(asked.targetDeg)} turned={mdeg / 1000} />
      </div>
      <p role="status">{turns ? t(words.noRatchet) : t(words.noTouch)}</p>
    </Frame>
  )
}

interface TurnedProps extends TurningProps {
  strokes: readonly Stroke[]
  refused: Trouble | null
  begin: () => void
  again: () => void
}

function Turned(props: TurnedProps) {
  const { of, asked, strokes, refused, begin, again } = props
  const { proof, fail } = of
  const found = sumOf(strokes)!
  const value = turnValue(found, asked.unit)
  const verdict = judge(value, proof)
  useEffect(() => {
    if (verdict === 'above') shake()
  }, [verdict])
  const keep = () => {
    const [sheet, ...more] = strokes.map((stroke) => stroke.sheet)
    const clips = more.map((each) => new Blob([canonical(each)], { type: 'application/json' }))
    return of.keep({ kind: 'measured', value, by: 'turn', sheet: sheet!, clips })()
  }
  const side = (
    <NotLikeThat
      fail={verdict === 'above' ? fail : null}
      instead={<SideKey icon="again" label={t(words.again)} onPress={again} />}
    />
  )
  const main =
    verdict === 'inside' ? (
      <ProofKey of={of} label={withUnit(value, proof.unit)} onGiven={keep} />
    ) : verdict === 'below' ? (
      <PlainKey label={t(words.addAStroke)} note={windowWords(proof)} onPress={begin} />
    ) : (
      <PlainKey label={t(words.measureAgain)} note={windowWords(proof)} onPress={again} />
    )
  return (
    <Frame
      head={of.head}
      title={
        verdict === 'above'
          ? outsideWords(value, proof)
          : verdict === 'below'
            ? t(words.soFar, { withUnit: withUnit(value, proof.unit) })
            : proof.label
      }
      trouble={refused ?? of.trouble}
      side={side}
      main={main}
    >
      <p class="figure">
        {value}
        {asked.unit === '°' ? '°' : <small> {asked.unit}</small>}
      </p>
      <p>
        {found.sense === 'unknown'
          ? t(words.trueTo, { tolerance: toleranceWords(found, asked.unit) })
          : t(words.trueToInSense, { tolerance: toleranceWords(found, asked.unit), sense: found.sense })}{' '}
        {strokes.length > 1 && t(words.strokesAddedUp, { strokes: strokes.length })}{' '}
        {verdict === 'inside' && insideWords(found, asked)}
      </p>
      <ScaleDrawing {...proof} unit={proof.unit ?? ''} readings={[value]} />
      {verdict === 'above' && <p class="stop-words">{t(words.notSigned)}</p>}
      {verdict === 'below' && <p>{t(words.strokesExplained)}</p>}
      {verdict === 'below' && fail && (
        <ul class="rows">
          <RowKey onPress={fail}>{t(words.notLikeThat)}</RowKey>
        </ul>
      )}
      {verdict === 'inside' && <SealedWith {...of} />}
      {verdict === 'inside' && (
        <ul class="rows">
          <RowKey note={t(words.strokeIsAdded)} onPress={begin}>
            {t(words.addAStroke)}
          </RowKey>
        </ul>
      )}
    </Frame>
  )
}

/** What the tolerance leaves of a value inside the window. */
function insideWords({ mdeg, tolerance_mdeg }: TurnFound, { lowDeg, highDeg }: AskedTurn): string {
  const isSure = mdeg - tolerance_mdeg >= 1000 * lowDeg && mdeg + tolerance_mdeg <= 1000 * highDeg
  return isSure ? t(words.surelyInside) : t(words.maybeOutside)
}

function ScaleCheck({ of, kept, back }: { of: WayProps; kept: (scale: Scale) => void; back: () => void }) {
  const gyro = useGyro(null)
  const [refused, setRefused] = useState<Trouble | null>(null)
  const asked: AskedTurn = { unit: '°', lowDeg: 350, highDeg: 370, targetDeg: 360 }
  const begin = () => {
    setRefused(null)
    gyro.begin()
  }
  const stop = async () => {
    const stroke = gyro.stop()
    if (!stroke) return
    const scale = await keepScale(of.store, stroke.found, isoDay(new Date()))
    if ('ok' in scale) setRefused(scale)
    else kept(scale)
  }
  if (isAtWork(gyro))
    return (
      <Capture
        of={of}
        gyro={gyro}
        asked={asked}
        before={null}
        says={{ turning: t(words.onceRound), before: t(words.leaveItLying) }}
        stop={() => void stop()}
      />
    )
  return (
    <Frame
      head={of.head}
      title={t(words.checkTitle)}
      trouble={refused ?? gyro.refusal ?? of.trouble}
      side={<BackKey back={back} />}
      main={<PlainKey label={t(words.atEdge)} note={t(words.thenLeaveItStill)} onPress={begin} />}
    >
      <p>{t(words.layFlat)}</p>
      <p>{t(words.checkExplained)}</p>
      <div class="turn-drawing">
        <HeadAndSeat deg="360" />
      </div>
      <OtherWay next={of.next} />
    </Frame>
  )
}
