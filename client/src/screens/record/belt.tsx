/** The rule of the job, laid round its drive: where it is broken and when, in one drawing. */
import { SEAL_WORDS } from '../../parts/seal'
import { beltLine, places, type Place } from './belt-path'
import { listed, type JobRecord, type StepRecord } from './record'

const BELT = 22
const HALF = BELT / 2

interface Laid { record: StepRecord; place: Place }

function Stripe({ record, place }: Laid) {
  // Along the belt by d, across it from a to b; outside is on the left of the way we go.
  const bar = (d: number, a: number, b: number) => {
    const [nx, ny] = [place.ty, -place.tx]
    const [x, y] = [place.x + place.tx * d, place.y + place.ty * d]
    return <path d={`M${x + nx * a} ${y + ny * a}L${x + nx * b} ${y + ny * b}`} stroke="var(--paint)" stroke-width="6" />
  }
  const edge = HALF - 2
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

function NumberAt({ record, place }: Laid) {
  const needsEyes = record.seal === 'broken' || record.seal === 'passed' || record.failures.length > 0 || record.questions.some(({ settled }) => !settled)
  const count = Number(record.step.number)
  if (!needsEyes && count % 5 !== 0 && count !== 1) return null
  const [nx, ny] = [place.ty, -place.tx]
  const reach = HALF + 16
  return (
    <text
      x={place.x + nx * reach}
      y={place.y + ny * reach + 6}
      text-anchor="middle"
      font-size={needsEyes ? 20 : 17}
      font-weight={needsEyes ? 720 : 480}
      style={{ fill: needsEyes ? 'var(--act)' : 'var(--ink)' }}
    >
      {record.step.number}
    </text>
  )
}

/** In words: how many hold, and which do not. */
export function beltWords(record: JobRecord): string {
  const steps = listed(record)
  const holding = steps.filter(({ seal }) => seal === 'holds').length
  const others = steps.filter(({ seal }) => seal === 'broken' || seal === 'passed')
  const named = others.map(({ step, seal }) => `${step.number} ${SEAL_WORDS[seal]}`)
  return [`${holding} of ${steps.length} steps hold`, ...named].join('; ')
}

export function BeltOfJob({ record, width = 560, height = 640 }: { record: JobRecord; width?: number; height?: number }) {
  const { drive } = record.bundle
  const line = beltLine(drive)
  if (line.length === 0) return null
  const margin = 44
  const [xs, ys] = [line.map(([x]) => x), line.map(([, y]) => y)]
  const [left, top] = [Math.min(...xs), Math.min(...ys)]
  const k = Math.min((width - 2 * margin) / (Math.max(...xs) - left), (height - 2 * margin) / (Math.max(...ys) - top))
  const spare = (width - 2 * margin - k * (Math.max(...xs) - left)) / 2
  const at = (x: number, y: number): [number, number] => [margin + spare + (x - left) * k, margin + (y - top) * k]
  const drawn = line.map(([x, y]) => at(x, y))
  const steps = listed(record)
  const laid = places(drawn, steps.length).map((place, i): Laid => ({ record: steps[i]!, place }))
  const path = `M${drawn.map(([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`).join('L')}Z`
  return (
    <svg class="job-belt" viewBox={`0 0 ${width} ${height}`} role="img" aria-label={beltWords(record)}>
      {drive.wheels.map((wheel) => {
        const [cx, cy] = at(wheel.x_um, -wheel.y_um)
        const r = Math.max(6, wheel.r_um * k - HALF - 3)
        return (
          <>
            <circle cx={cx} cy={cy} r={r} fill="none" stroke="var(--ink)" stroke-width="1.3" />
            <circle cx={cx} cy={cy} r="3" fill="var(--ink)" />
          </>
        )
      })}
      <path d={path} fill="none" stroke="var(--rim)" stroke-width={BELT + 2.6} />
      <path d={path} fill="none" stroke="var(--seat)" stroke-width={BELT} />
      {laid.map((each) => (
        <Stripe {...each} />
      ))}
      <path d={path} fill="none" stroke="var(--joint)" stroke-width="1.6" />
      {laid.map((each) => (
        <NumberAt {...each} />
      ))}
    </svg>
  )
}
