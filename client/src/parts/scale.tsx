/**
 * The scale: the upper plate carries readings, the lower plate is cut to the window. A reading inside crosses
 * the joint, a reading outside stops at it. A triangle is the target.
 */

import * as words from '../words/en/parts/scale'
import { t } from '../words/message'

interface ScaleProps {
  low?: string
  high?: string
  target?: string
  /** What was read, as it was read. */
  readings: readonly string[]
  unit: string
  /** Its ends, where somebody moves a figure on it; else they follow from window and readings. */
  from?: number
  to?: number
}

const WIDTH = 332
const PLATE = 34
const JOINT = 38

interface Span {
  from: number
  to: number
  low: number
  high: number
}

/** The farthest a reading may widen the scale: twice its span to each side. Beyond, it stands at the end. */
function widened(span: Span, readings: readonly string[]): Span {
  const reach = 2 * (span.to - span.from)
  const values = readings.map(Number).filter(Number.isFinite)
  const air = 0.06 * (span.to - span.from)
  return {
    ...span,
    from: Math.max(Math.min(span.from, ...values.map((value) => value - air)), span.from - reach),
    to: Math.min(Math.max(span.to, ...values.map((value) => value + air)), span.to + reach),
  }
}

/** Some air outside the window on both sides, so that a reading outside has a place to stand. */
function spanOf({ low, high, target }: ScaleProps): Span | null {
  const l = low === undefined ? null : Number(low)
  const h = high === undefined ? null : Number(high)
  if (l === null && h === null) return null
  if (l !== null && h !== null) {
    const air = Math.max(h - l, Math.abs(h) * 0.01, 1e-6) * 0.32
    return { from: l - air, to: h + air, low: l, high: h }
  }
  const edge = (l ?? h) as number
  const reach = Math.max(
    Math.abs((target === undefined ? edge : Number(target)) - edge),
    Math.abs(edge) * 0.25,
    1,
  )
  return l !== null
    ? { from: l - reach * 0.6, to: l + reach * 2, low: l, high: Infinity }
    : { from: edge - reach * 2, to: edge + reach * 0.6, low: -Infinity, high: edge }
}

export function Scale(props: ScaleProps) {
  const bare = spanOf(props)
  if (!bare) return null
  const { from, to } = props
  const span = from === undefined || to === undefined ? widened(bare, props.readings) : { ...bare, from, to }
  const at = (value: number) =>
    Math.min(WIDTH, Math.max(0, ((value - span.from) / (span.to - span.from)) * WIDTH))
  const [left, right] = [at(span.low), at(span.high)]
  const ticks = Array.from({ length: 21 }, (_, i) => (WIDTH / 20) * i).filter(
    (x) => x < left - 2 || x > right + 2,
  )
  const label = t(words.windowTo, {
    readings: props.readings.length ? `${props.readings.join(', ')} ${props.unit}. ` : '',
    low: props.low ?? t(words.any),
    high: props.high ?? t(words.any),
    unit: props.unit,
  })
  return (
    <svg class="scale" viewBox={`-2 0 ${WIDTH + 4} 96`} role="img" aria-label={label}>
      <rect width={WIDTH} height={PLATE} fill="var(--seat)" stroke="var(--rim)" stroke-width="1.3" />
      <path d={`M0 ${JOINT - 1}H${WIDTH}`} stroke="var(--ink)" stroke-width="1.3" />
      {ticks.map((x) => (
        <path d={`M${x} ${JOINT - 1}v7`} stroke="var(--ink)" stroke-width="1.5" />
      ))}
      <rect
        x={left}
        y={PLATE}
        width={right - left}
        height={PLATE + 2}
        fill="var(--seat)"
        stroke="var(--rim)"
        stroke-width="1.3"
      />
      {props.readings.map((reading) => {
        const value = Number(reading)
        const inside = value >= span.low && value <= span.high
        return (
          <rect
            x={Math.min(WIDTH - 6, Math.max(2, at(value) - 2))}
            y="5"
            width="4"
            height={inside ? 2 * PLATE - 9 : PLATE - 6}
            fill="var(--paint)"
          />
        )
      })}
      <rect y={PLATE} width={WIDTH} height="2" fill="var(--joint)" />
      {props.target !== undefined && (
        <path
          d={`M${at(Number(props.target))} 60l7.5 12h-15z`}
          fill="var(--ground)"
          stroke="var(--ink)"
          stroke-width="1.5"
        />
      )}
      {props.low !== undefined && (
        <text x={Math.max(left, 20)} y="91" font-size="19" font-weight="640" text-anchor="middle">
          {props.low}
        </text>
      )}
      {props.high !== undefined && (
        <text x={Math.min(right, WIDTH - 20)} y="91" font-size="19" font-weight="640" text-anchor="middle">
          {props.high}
        </text>
      )}
    </svg>
  )
}
