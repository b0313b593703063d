/** The drive of a draft: its wheels moved with a finger or by numbers, and beside them how the belt fits there. */
import type { Document } from 'yaml'
import { useEffect, useRef, useState } from 'preact/hooks'
import type { FittedAnswer } from '../../ledger/answers'
import type { Trouble } from '../../store'
import { TroubleLine } from '../office/shell'
import type { Rooms } from '../rooms'
import {
  beltPath,
  boxOf,
  driveOf,
  moved,
  placeOf,
  toMm,
  withoutWheel,
  withPlaces,
  withWheelBehind,
  type MeasuredDrive,
} from './drive-sketch'
import { readSource, wordsAt, type Path } from './edits'
import { TakeOut, Words } from './fields'
import { withAll, type Put } from './structure'
import * as words from '../../words/en/bench/drive-view'
import { t } from '../../words/message'

interface DriveViewProps {
  rooms: Rooms
  text: string
  write: (text: string) => void
}

export function DriveView({ rooms, text, write }: DriveViewProps) {
  const document = readSource(text)
  const drive = document && driveOf(document)
  const [held, hold] = useState<MeasuredDrive | null>(null)
  const shown = held ?? drive
  const { fit, drawn, trouble } = useFit(rooms, shown)
  if (document === null || drive === null) return <p class="d-text">{t(words.noDrive)}</p>
  const become = (changed: string | null) => changed !== null && write(changed)
  const put: Put = (...changes) => void become(withAll(text, changes))
  return (
    <section class="bench-form">
      <h2 class="phase-head">{t(words.drive)}</h2>
      <p class="d-text">{t(words.means)}</p>
      <TroubleLine trouble={trouble} />
      {drawn && drawn.of.wheels.length === shown!.wheels.length && (
        <Sketch
          fit={withPlaces(drawn.fit, drawn.of, shown!)}
          hasBelt={fit === drawn.fit}
          drive={shown!}
          move={(nth, x, y) => hold(moved(shown!, nth, x, y))}
          drop={(nth) => {
            if (!held) return
            const { path, point } = placeOf(held, nth)
            put([[...path, 0], point[0]], [[...path, 1], point[1]])
            hold(null)
          }}
        />
      )}
      {fit && <Fits fit={fit} drive={drive} put={put} />}
      <Numbers
        document={document}
        drive={drive}
        put={put}
        addBehind={(nth) => become(withWheelBehind(text, drive, fit, nth, t(words.rollerLabel)))}
        takeOut={(nth) => become(withoutWheel(text, drive, nth))}
      />
    </section>
  )
}

/** How the belt fits, asked of the workshop whenever the drive is another; one question at a time. */
function useFit({ sync }: Rooms, drive: MeasuredDrive | null) {
  const [fit, setFit] = useState<FittedAnswer | null>(null)
  /** The last that could be drawn, and of which drive: what does not fit can still be dragged back. */
  const [drawn, setDrawn] = useState<{ fit: FittedAnswer; of: MeasuredDrive } | null>(null)
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const wanted = useRef('')
  const asking = useRef(false)
  wanted.current = JSON.stringify({ drive })
  useEffect(() => {
    const ask = async () => {
      asking.current = true
      const text = wanted.current
      const answer = await sync.send<FittedAnswer>('/api/drive', { method: 'POST', json: { text } })
      asking.current = false
      setTrouble(answer.ok ? null : answer.trouble)
      if (answer.ok) {
        setFit(answer.value)
        const { drive: of } = JSON.parse(text) as { drive: MeasuredDrive | null }
        if (of && answer.value.wheels.length > 0) setDrawn({ fit: answer.value, of })
      }
      if (wanted.current !== text && answer.ok) void ask()
    }
    if (!asking.current) void ask()
  }, [sync, wanted.current])
  return { fit, drawn, trouble }
}

interface SketchProps {
  fit: FittedAnswer
  drive: MeasuredDrive
  /** Whether it fits so. */
  hasBelt: boolean
  move: (nth: number, x_mm: number, y_mm: number) => void
  drop: (nth: number) => void
}

/** The wheels to scale, x right and y up, seen from the belt; each can be dragged. */
function Sketch({ fit, drive, hasBelt, move, drop }: SketchProps) {
  const sheet = useRef<SVGSVGElement>(null)
  const [taken, take] = useState<{ nth: number; box: ReturnType<typeof boxOf> } | null>(null)
  const box = taken?.box ?? boxOf(fit)
  const at = (event: PointerEvent) => toMm(event, sheet.current!.getBoundingClientRect(), box)
  const end = () => {
    if (taken) drop(taken.nth)
    take(null)
  }
  return (
    <svg
      class="bench-drive"
      ref={sheet}
      viewBox={[box.left, box.top, box.width, box.height].join(' ')}
      role="img"
      aria-label={t(words.sketch)}
      onPointerMove={(event) => taken && move(taken.nth, ...at(event))}
      onPointerUp={end}
      onPointerCancel={end}
    >
      {fit.wheels.map((wheel, nth) => (
        <circle
          key={wheel.id}
          class={taken?.nth === nth ? 'bench-wheel bench-wheel-taken' : 'bench-wheel'}
          cx={wheel.x_um / 1000}
          cy={-wheel.y_um / 1000}
          r={wheel.radius_um / 1000}
          onPointerDown={(event) => {
            event.preventDefault()
            sheet.current!.setPointerCapture(event.pointerId)
            take({ nth, box })
          }}
        />
      ))}
      {hasBelt && <path class="bench-belt" d={beltPath(fit, drive)} />}
      {fit.wheels.map(({ id, x_um, y_um }) => (
        <text key={id} x={x_um / 1000} y={-y_um / 1000} font-size={box.width / 28}>
          {id}
        </text>
      ))}
    </svg>
  )
}

interface FitsProps {
  fit: FittedAnswer
  drive: MeasuredDrive
  put: Put
}

/** What follows from where the wheels stand; a figure that is stated otherwise can be taken from here. */
function Fits({ fit, drive, put }: FitsProps) {
  const tensioner = drive.wheels.findIndex(({ stud }) => stud !== undefined)
  return (
    <>
      {fit.fault ? (
        <p class="d-text" role="status">
          <b class="act-words">{fit.fault.message}</b> {fit.fault.hint}
        </p>
      ) : (
        <p class="d-text" role="status">
          {t(words.fits)}
        </p>
      )}
      {fit.wheels.length > 0 && (
        <>
          <p class="d-text">{t(words.length, { mm: fit.length_mm })}</p>
          <ul class="plain-list">
            {fit.wheels.map(({ id, wrap_deg, teeth_in_mesh }) => (
              <li key={id}>
                {teeth_in_mesh === null
                  ? t(words.wrap, { id, deg: wrap_deg })
                  : t(words.wrapTeeth, { id, deg: wrap_deg, teeth: teeth_in_mesh })}
              </li>
            ))}
            {fit.counts.map(({ start, end, teeth }) => (
              <li key={`${start} ${end}`}>{t(words.counted, { start, end, teeth })}</li>
            ))}
          </ul>
          <p class="step-acts">
            {fit.angles_deg.map((angle) => (
              <button
                key={angle}
                type="button"
                class="text-key"
                onClick={() => put([['drive', 'wheels', tensioner, 'notch_deg'], angle])}
              >
                {t(words.takeNotch, { deg: angle })}
              </button>
            ))}
          </p>
        </>
      )}
    </>
  )
}

const OF_BELT = ['teeth', 'pitch_mm', 'length_mm', 'width_mm', 'back_mm', 'pitch_line_mm'] as const
const OF_WHEEL = ['teeth', 'diameter_mm', 'eccentric_mm', 'notch_deg', 'within_deg', 'mark_deg'] as const

/** A belt runs round two at the least. */
const LEAST_WHEELS = 2

interface NumbersProps {
  document: Document
  drive: MeasuredDrive
  put: Put
  addBehind: (nth: number) => void
  takeOut: (nth: number) => void
}

/** The measured numbers, as they stand in the text. */
function Numbers({ document, drive, put, addBehind, takeOut }: NumbersProps) {
  const field = (path: Path, label: string) => {
    const said = wordsAt(document, path)
    if (said === null) return null
    return <Words key={path.join(' ')} label={label} value={said} onValue={(value) => put([path, value])} />
  }
  return (
    <>
      <fieldset>
        <legend>{t(words.belt)}</legend>
        <div class="bench-figures">
          {OF_BELT.map((name) => field(['drive', 'belt', name], t(words.ofBelt[name])))}
        </div>
      </fieldset>
      {drive.wheels.map((wheel, nth) => {
        const at = ['drive', 'wheels', nth]
        const { path } = placeOf(drive, nth)
        return (
          <fieldset key={wheel.id}>
            <legend>{wheel.id}</legend>
            <div class="bench-figures">
              {field([...path, 0], t(words.right))}
              {field([...path, 1], t(words.up))}
              {OF_WHEEL.map((name) => field([...at, name], t(words.ofWheel[name])))}
            </div>
            <p class="step-acts">
              <button type="button" class="text-key" onClick={() => addBehind(nth)}>
                {t(words.addBehind)} <span class="unseen">{wheel.id}</span>
              </button>
              {nth > 0 && drive.wheels.length > LEAST_WHEELS && (
                <TakeOut what={wheel.id} onPress={() => takeOut(nth)} />
              )}
            </p>
          </fieldset>
        )
      })}
    </>
  )
}
