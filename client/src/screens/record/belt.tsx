/** The rule of the job, laid round its drive: where it is broken and when, in one drawing. */
import { useEffect, useState } from 'preact/hooks'
import { SEAL_WORDS } from '../../parts/seal'
import { along, beltLine, outside, places, type Place } from './belt-path'
import { LINE, placeWords, twoLines, type Ground, type Wanted } from './belt-labels'
import { needsEyes } from '../../work/eyes'
import { listed, phaseTimes, type JobRecord, type StepRecord } from '../../work/record'
import { hourWords } from '../../work/format'
import { redoneOf, redoneWords } from '../../work/redone'
import * as says from '../../words/en/record/belt'
import * as state from '../../words/en/work/state'
import { t } from '../../words/message'

interface Size {
  width: number
  height: number
  belt: number
  margin: number /** Phases and every fifth number stand along it. */
  full: boolean
}

const DESK: Size = { width: 568, height: 690, belt: 22, margin: 58, full: true }
const PHONE: Size = { width: 320, height: 400, belt: 15, margin: 34, full: false }

interface Laid {
  record: StepRecord
  place: Place
}

function Stripe({
  record,
  place,
  belt,
  side,
  hasBroken,
}: Laid & { belt: number; side: 1 | -1; hasBroken: boolean }) {
  // Along the belt by d, across it from a to b; outside is up, as on the rule.
  const bar = (d: number, a: number, b: number) => {
    const [nx, ny] = [place.ty * side, -place.tx * side]
    const [x, y] = [place.x + place.tx * d, place.y + place.ty * d]
    return (
      <path
        d={`M${x + nx * a} ${y + ny * a}L${x + nx * b} ${y + ny * b}`}
        stroke="var(--paint)"
        stroke-width={belt * 0.27}
      />
    )
  }
  const edge = belt / 2 - 2
  if (record.seal === 'holds' && hasBroken) {
    // What broke stands beside what holds now: the halves apart, and the whole stripe after them.
    return (
      <>
        {bar(-6, 1, edge)}
        {bar(-10, -edge, -1)}
        {bar(2, -edge, edge)}
      </>
    )
  }
  if (record.seal === 'holds') return bar(0, -edge, edge)
  if (record.seal === 'passed') return bar(0, -edge, -1)
  if (record.seal === 'broken') {
    return (
      <>
        {bar(4, 1, edge)}
        {bar(-4, -edge, -1)}
      </>
    )
  }
  return <circle cx={place.x} cy={place.y} r="1.6" fill="var(--ondeck2)" />
}

/** In words: how many hold, and which do not. */
function beltWords(record: JobRecord): string {
  const steps = listed(record)
  const holding = steps.filter(({ seal }) => seal === 'holds').length
  const others = steps.filter(({ seal }) => seal === 'broken' || seal === 'passed')
  const named = others.map(({ step, seal }) => `${step.number} ${SEAL_WORDS[seal]}`)
  return [t(state.stepsHold, { held: holding, steps: steps.length }), ...named].join('; ')
}

interface Said extends Wanted {
  role: keyof typeof STANDING
}

/** How each sort of words stands at the belt. */
const STANDING = {
  eyes: { size: 20, slide: 12, away: 26, spare: false, role: 'eyes' },
  phase: { size: 17, slide: 66, away: 80, spare: false, role: 'phase' },
  plain: { size: 17, slide: 0, away: 14, spare: true, role: 'plain' },
} as const

/** What stands along the belt, the weightiest first: steps that ask for eyes, where a phase begins, every fifth number. */
function said(
  record: JobRecord,
  laid: readonly Laid[],
  drawn: readonly [number, number][],
  full: boolean,
): Said[] {
  const asking = laid.filter((each) => needsEyes(each.record))
  const numbered = ({ record, place }: Laid) => ({ lines: [record.step.number], at: place })
  const eyes = asking.map((each): Said => ({ ...numbered(each), ...STANDING.eyes }))
  if (!full) return eyes
  const starts = phaseTimes(record)
  const at = along(
    drawn,
    starts.map(({ first }) => first / Math.max(laid.length, 1)),
  )
  const phases = starts.map(
    ({ name, time }, i): Said => ({
      lines: twoLines(time === null ? name : `${name} ${hourWords(time)}`),
      at: at[i]!,
      ...STANDING.phase,
    }),
  )
  const fifths = laid.filter(
    (each, i) => !asking.includes(each) && (i === 0 || Number(each.record.step.number) % 5 === 0),
  )
  return [...eyes, ...phases, ...fifths.map((each): Said => ({ ...numbered(each), ...STANDING.plain }))]
}

function BeltOfJob({ record, size = DESK }: { record: JobRecord; size?: Size }) {
  const { drive } = record.bundle
  const { width, height, belt, margin } = size
  const line = beltLine(drive)
  if (line.length === 0) return null
  const [xs, ys] = [line.map(([x]) => x), line.map(([, y]) => y)]
  const [left, top] = [Math.min(...xs), Math.min(...ys)]
  const k = Math.min(
    (width - 2 * margin) / (Math.max(...xs) - left),
    (height - 2 * margin) / (Math.max(...ys) - top),
  )
  const spare = (width - 2 * margin - k * (Math.max(...xs) - left)) / 2
  const at = (x: number, y: number): [number, number] => [
    margin + spare + (x - left) * k,
    margin + (y - top) * k,
  ]
  const drawn = line.map(([x, y]) => at(x, y))
  const steps = listed(record)
  const broken = new Set(redoneOf(record).map(({ step }) => step.index))
  const laid = places(drawn, steps.length).map((place, i): Laid => ({ record: steps[i]!, place }))
  const wheels = drive.wheels.map((wheel) => {
    const [cx, cy] = at(wheel.x_um, -wheel.y_um)
    return { cx, cy, r: Math.max(6, wheel.r_um * k - belt / 2 - 3) }
  })
  const ground: Ground = { line: drawn, side: outside(drawn), half: belt / 2, wheels, width, height }
  // As on the rule, a gap begins a phase. The job's own beginning is the crank's mark.
  const gaps = along(
    drawn,
    phaseTimes(record).map(({ first }) => first / Math.max(steps.length, 1)),
  )
  const words = placeWords(ground, said(record, laid, drawn, size.full))
  const path = `M${drawn.map(([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`).join('L')}Z`
  return (
    <svg class="job-belt" viewBox={`0 0 ${width} ${height}`} role="img" aria-label={beltWords(record)}>
      {wheels.map(({ cx, cy, r }) => (
        <>
          <circle cx={cx} cy={cy} r={r} fill="none" stroke="var(--ink)" stroke-width="1.3" />
          <circle cx={cx} cy={cy} r="3" fill="var(--ink)" />
        </>
      ))}
      <path d={path} fill="none" stroke="var(--rim)" stroke-width={belt + 2.6} />
      <path d={path} fill="none" stroke="var(--seat)" stroke-width={belt} />
      {laid.map((each) => (
        <Stripe {...each} belt={belt} side={ground.side} hasBroken={broken.has(each.record.index)} />
      ))}
      {gaps.map(({ x, y, tx, ty }) => (
        <path
          d={`M${x - ty * belt * 0.6} ${y + tx * belt * 0.6}L${x + ty * belt * 0.6} ${y - tx * belt * 0.6}`}
          stroke="var(--ground)"
          stroke-width="3"
        />
      ))}
      <path d={path} fill="none" stroke="var(--joint)" stroke-width="1.6" />
      {words.map(({ lines, role, x, y, h, size: px }) =>
        lines.map((text, i) => (
          <text
            class={`belt-${role}`}
            x={x}
            y={y - h / 2 + px * (0.9 + i * LINE)}
            text-anchor="middle"
            font-size={px}
          >
            {text}
          </text>
        )),
      )}
    </svg>
  )
}

const NARROW = '(max-width: 700px)'

/** The belt in the size of the screen, so that its words never shrink, and the phases as a list where they have no room. */
export function Belt({ record }: { record: JobRecord }) {
  const redone = redoneOf(record)
  const [isNarrow, setNarrow] = useState(() => matchMedia(NARROW).matches)
  useEffect(() => {
    const media = matchMedia(NARROW)
    const look = () => setNarrow(media.matches)
    media.addEventListener('change', look)
    return () => media.removeEventListener('change', look)
  }, [])
  return (
    <figure>
      <BeltOfJob record={record} size={isNarrow ? PHONE : DESK} />
      <figcaption class="d-small">
        {t(says.beltExplained)}
        {redone.length > 0 && <> {t(says.redoneExplained)}</>}
      </figcaption>
      {redone.length > 0 && (
        <ul class="redone d-small" aria-label={t(says.redoneLabel)}>
          {redone.map((each) => (
            <li key={each.step.step.id}>{redoneWords(each)}</li>
          ))}
        </ul>
      )}
      <ol class={isNarrow ? 'phase-times d-small' : 'unseen'} aria-label={t(says.phasesLabel)}>
        {phaseTimes(record).map(({ name, time }) => (
          <li>{time === null ? t(says.notBegun, { name }) : `${name} ${hourWords(time)}`}</li>
        ))}
      </ol>
    </figure>
  )
}
