/** An angle by the phone's gyro, the phone riding on the tool: rest, turn, stop; strokes add up. */
import { useEffect, useState } from 'preact/hooks'
import { addTurns, type TurnFound } from '../../../instruments/turn'
import { canonical } from '../../../ledger/canonical'
import { HoldKey, MissingKey, PlainKey, SideKey } from '../../../parts/keys'
import type { Trouble } from '../../../store'
import { Scale as ScaleDrawing } from '../../../parts/scale'
import { HeadAndSeat } from '../../../parts/wrench'
import { RowKey } from '../rows'
import { Frame } from '../frame'
import { judge, outsideWords, windowWords, withUnit } from '../../../work/limits'
import { shake } from '../vibrate'
import { isoDay } from '../../../work/format'
import { doneWords, type WayProps } from './props'
import { NoWay, OtherWay } from './no-instrument'
import { useGyro, type GyroNow, type Stroke } from './turn-gyro'
import {
  askedTurn,
  fitOf,
  keepScale,
  keptScale,
  scaleWords,
  toleranceWords,
  valueOf,
  type AskedTurn,
  type Scale,
} from './turn-scale'
import './instruments.css'

export function TurnScreen(props: WayProps) {
  const [scale, setScale] = useState<Scale | null | undefined>(undefined)
  useEffect(() => {
    void keptScale(props.store).then(setScale)
  }, [])
  const asked = askedTurn(props.proof)
  const [checking, setChecking] = useState(false)
  const fit = fitOf(asked)
  if (fit === 'unfit') {
    const message = `The gyro cannot tell ${windowWords(props.proof)}: the window is too narrow for it.`
    return (
      <NoWay
        of={props}
        trouble={{ code: 'turn-unfit', message, hint: 'Take it another way.' }}
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
    const why = unlikeWords(stroke, strokes, needsScale)
    setUnlike(why)
    if (why === null) setStrokes([...strokes, stroke])
  }
  if (gyro.missing) return <NoWay of={of} trouble={gyro.missing} again={gyro.begin} />
  if (gyro.phase !== 'rest')
    return (
      <Capture
        of={of}
        gyro={gyro}
        asked={props.asked}
        before={sumOf(strokes)}
        title={gyro.phase === 'turning' ? 'Turn now' : 'Rest the tool'}
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
function unlikeWords({ found }: Stroke, before: readonly Stroke[], needsScale: boolean): Trouble | null {
  if (needsScale && !found.is_calibrated) {
    return {
      code: 'other-axis',
      message: 'The phone was turned about another axis than the one that was checked.',
      hint: 'Fix it as flat as it lay on the table, and turn again.',
    }
  }
  const way = before.map((each) => each.found.sense).find((sense) => sense !== 'unknown')
  const isOther = way !== undefined && found.sense !== 'unknown' && found.sense !== way
  return isOther
    ? {
        code: 'other-way',
        message: 'This stroke went the other way and is left out.',
        hint: 'Measure only the strokes that turn it on.',
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
      deck={
        <>
          <SideKey icon="back" label="back" onPress={of.back} />
          <PlainKey
            label={refused === null ? 'It is fixed to the tool' : 'Turn again'}
            note="then hold still"
            onPress={begin}
          />
        </>
      }
    >
      <div class="angle angle-bare">
        <div>
          <p class="turn-window">{windowWords(proof)}</p>
        </div>
        <HeadAndSeat deg={String(asked.targetDeg)} />
      </div>
      <p>Fix the phone flat on the tool, its screen to the eye, its rotation locked.</p>
      {proof.hint !== undefined && <p>{proof.hint}</p>}
      <ul class="rows">
        <RowKey
          note={scale ? scaleWords(scale) : 'One turn on a table makes it three times as true.'}
          onPress={check}
        >
          Check the sensor
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
  title: string
  stop: () => void
}

/** Whole degrees while it turns: more would promise what the sensor cannot tell. */
const liveWords = (mdeg: number, { unit }: AskedTurn) =>
  unit === 'turns' ? (mdeg / 360_000).toFixed(2) : String(Math.round(mdeg / 1000))

function Capture({ of, gyro, asked, before, title, stop }: CaptureProps) {
  const turns = gyro.phase === 'turning'
  const mdeg = (before?.mdeg ?? 0) + (gyro.live?.mdeg ?? 0)
  return (
    <Frame
      head={of.head}
      title={title}
      deck={
        <>
          <SideKey icon="back" label="let go" onPress={gyro.drop} />
          {turns ? (
            <PlainKey label="Stop here" note="when the tool rests" onPress={stop} />
          ) : (
            <MissingKey
              {...(gyro.phase === 'opening'
                ? { label: 'The sensor wakes' }
                : { label: 'Hold still', note: 'for one second' })}
            />
          )}
        </>
      }
    >
      <p class="turn-figure" role="img" aria-label="Turned so far">
        {liveWords(mdeg, asked)}
        {asked.unit === '°' && <small>°</small>}
      </p>
      <p class="turn-of">
        of{' '}
        {asked.unit === 'turns'
          ? withUnit((asked.targetDeg / 360).toFixed(2), 'turns')
          : `${asked.targetDeg}°`}
      </p>
      <div class="turn-drawing">
        <HeadAndSeat deg={String(asked.targetDeg)} turned={mdeg / 1000} />
      </div>
      <p role="status">
        {turns ? 'A ratchet may not go back meanwhile.' : 'Nothing may touch the tool for a second.'}
      </p>
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
  const value = valueOf(found, asked.unit)
  const verdict = judge(value, proof)
  useEffect(() => {
    if (verdict === 'above') shake()
  }, [verdict])
  const keep = () => {
    const [sheet, ...more] = strokes.map((stroke) => stroke.sheet)
    const clips = more.map((each) => new Blob([canonical(each)], { type: 'application/json' }))
    return of.keep({ kind: 'measured', value, by: 'turn', sheet: sheet!, clips })
  }
  const side =
    verdict === 'above' && fail ? (
      <SideKey icon="not" label="it is not like that" onPress={fail} />
    ) : (
      <SideKey icon="again" label="again" onPress={again} />
    )
  const main =
    verdict === 'inside' ? (
      <HoldKey label={withUnit(value, proof.unit)} onHeld={keep} done={doneWords(of)} />
    ) : verdict === 'below' ? (
      <PlainKey label="Add a stroke" note={windowWords(proof)} onPress={begin} />
    ) : (
      <PlainKey label="Measure again" note={windowWords(proof)} onPress={again} />
    )
  return (
    <Frame
      head={of.head}
      title={
        verdict === 'above'
          ? outsideWords(value, proof)
          : verdict === 'below'
            ? `${withUnit(value, proof.unit)} so far`
            : proof.label
      }
      trouble={refused ?? of.trouble}
      deck={
        <>
          {side}
          {main}
        </>
      }
    >
      <p class="figure">
        {value}
        {asked.unit === '°' ? '°' : <small> {asked.unit}</small>}
      </p>
      <p>
        True to {toleranceWords(found, asked.unit)}
        {found.sense !== 'unknown' && `, ${found.sense} as the screen faces`}.{' '}
        {strokes.length > 1 && `${strokes.length} strokes added up.`}{' '}
        {verdict === 'inside' && insideWords(found, asked)}
      </p>
      <ScaleDrawing {...proof} unit={proof.unit ?? ''} readings={[value]} />
      {verdict === 'above' && <p class="stop-words">The step cannot be painted with this angle.</p>}
      {verdict === 'below' && <p>Turn on. Each stroke is measured from rest to rest, and added.</p>}
      {verdict === 'below' && fail && (
        <ul class="rows">
          <RowKey onPress={fail}>It is not like that</RowKey>
        </ul>
      )}
      {verdict === 'inside' && (
        <ul class="rows">
          <RowKey note="what follows is added to this" onPress={begin}>
            Add a stroke
          </RowKey>
        </ul>
      )}
    </Frame>
  )
}

/** What the tolerance leaves of a value inside the window. */
function insideWords({ mdeg, tolerance_mdeg }: TurnFound, { lowDeg, highDeg }: AskedTurn): string {
  const isSure = mdeg - tolerance_mdeg >= 1000 * lowDeg && mdeg + tolerance_mdeg <= 1000 * highDeg
  return isSure
    ? 'In the window, whatever the sensor leaves open.'
    : 'In the window; the sensor leaves open whether it is just outside.'
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
  if (gyro.missing) return <NoWay of={of} trouble={gyro.missing} again={gyro.begin} />
  if (gyro.phase !== 'rest')
    return (
      <Capture
        of={of}
        gyro={gyro}
        asked={asked}
        before={null}
        title={gyro.phase === 'turning' ? 'Once round, to the edge' : 'Leave it lying'}
        stop={() => void stop()}
      />
    )
  return (
    <Frame
      head={of.head}
      title="Check the turning sensor"
      trouble={refused ?? gyro.refusal ?? of.trouble}
      deck={
        <>
          <SideKey icon="back" label="back" onPress={back} />
          <PlainKey label="It lies at the edge" note="then leave it still" onPress={begin} />
        </>
      }
    >
      <p>Lay the phone flat on a table, its long side against an edge that it cannot pass.</p>
      <p>
        After the still second turn it once round on the table, to the same edge, and stop. What the sensor
        tells too much or too little of 360° is then taken out of every angle.
      </p>
      <div class="turn-drawing">
        <HeadAndSeat deg="360" />
      </div>
      <OtherWay next={of.next} />
    </Frame>
  )
}
