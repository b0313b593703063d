/**
 * The rule: the whole job in one glance. A slot a step, a gap a phase, pointers at the step that is now.
 * Whole stripe holds; halves moved apart are broken; lower half only was passed by; a tick is to do.
 */
import type { RuleNow, SealState } from '../work/shown'

const GAP = 3
const TOP = 10
const HEIGHT = 30

interface RuleProps extends RuleNow {
  width?: number
}

interface Slot {
  x: number
  state: SealState
}
interface Plan {
  pitch: number
  plates: { x: number; width: number }[]
  slots: Slot[]
}

function lay(phases: RuleNow['phases'], width: number): Plan {
  const count = phases.reduce((sum, steps) => sum + steps.length, 0)
  const pitch = (width - GAP * (phases.length - 1)) / Math.max(count, 1)
  const plates: Plan['plates'] = []
  const slots: Slot[] = []
  let x = 0
  for (const steps of phases) {
    plates.push({ x, width: pitch * steps.length })
    slots.push(...steps.map((state, i) => ({ x: x + pitch * i, state })))
    x += pitch * steps.length + GAP
  }
  return { pitch, plates, slots }
}

function Stripe({ slot, pitch }: { slot: Slot; pitch: number }) {
  const x = slot.x + pitch / 4
  const width = pitch / 2
  const upper = TOP + 3
  const lower = TOP + HEIGHT / 2 + 0.8
  const half = HEIGHT / 2 - 3.8
  const paint = (at: number, y: number, height: number) => (
    <rect x={at} y={y} width={width} height={height} fill="var(--paint)" />
  )
  if (slot.state === 'holds') return paint(x, upper, HEIGHT - 6)
  if (slot.state === 'passed') return paint(x, lower, half)
  if (slot.state === 'broken') {
    return (
      <>
        {paint(x + width / 2, upper, half)}
        {paint(x - width / 2, lower, half)}
      </>
    )
  }
  return <rect x={slot.x + pitch / 2 - 0.5} y={TOP + 11.6} width="1" height="6.8" fill="var(--ondeck2)" />
}

function Pointers({ slot, pitch }: { slot: Slot; pitch: number }) {
  const centre = slot.x + pitch / 2
  return (
    <g class="rule-now" style={{ transform: `translateX(${centre}px)` }}>
      <rect x="-1.7" y={TOP} width="3.4" height={HEIGHT} fill="var(--ground)" />
      <path d={`M-7 0h14l-7 ${TOP}zM-7 ${2 * TOP + HEIGHT}h14l-7 ${-TOP}z`} fill="var(--act)" />
    </g>
  )
}

export function Rule({ phases, now, width = 332 }: RuleProps) {
  const { pitch, plates, slots } = lay(phases, width)
  const current = now === null ? undefined : slots[now]
  return (
    <svg class="rule" viewBox={`0 0 ${width} ${2 * TOP + HEIGHT}`} width={width} aria-hidden="true">
      {plates.map((plate) => (
        <rect
          x={plate.x}
          y={TOP}
          width={plate.width}
          height={HEIGHT}
          fill="var(--seat)"
          stroke="var(--rim)"
          stroke-width="1.3"
        />
      ))}
      {slots.map((slot) => (
        <Stripe slot={slot} pitch={pitch} />
      ))}
      <rect x="0" y={TOP + HEIGHT / 2 - 0.8} width={width} height="1.6" fill="var(--joint)" />
      {current && <Pointers slot={current} pitch={pitch} />}
    </svg>
  )
}

/** The part of the rule round a redo, large enough to read the numbers: see which seals broke. */
export function BigRule({
  steps,
  now,
}: {
  steps: readonly { number: string; state: SealState; afterGap?: boolean }[]
  now: string | null
}) {
  const pitch = 332 / Math.max(steps.length, 1)
  const bar = Math.min(8, pitch / 3)
  return (
    <svg
      class="rule"
      viewBox="0 0 332 100"
      width="332"
      role="img"
      aria-label={steps.map((s) => `${s.number} ${s.number === now ? 'now' : s.state}`).join(', ')}
    >
      <rect width="332" height="76" fill="var(--seat)" stroke="var(--rim)" stroke-width="1.3" />
      {steps.map((step, i) => {
        const x = pitch * (i + 0.5)
        const paint = (dx: number, y: number, height: number) => (
          <rect x={x - bar / 2 + dx} y={y} width={bar} height={height} fill="var(--paint)" />
        )
        const is = (state: SealState) => step.state === state && step.number !== now
        return (
          <>
            {step.afterGap && <rect x={pitch * i - 3} y="-2" width="6" height="80" fill="var(--ground)" />}
            {is('holds') && paint(0, 8, 60)}
            {is('broken') && paint(bar * 0.75, 8, 29)}
            {is('broken') && paint(-bar * 0.75, 39, 29)}
            {is('passed') && paint(0, 39, 29)}
            {step.number === now && (
              <rect
                x={pitch * i + 2}
                y="2"
                width={pitch - 4}
                height="72"
                fill="var(--ground)"
                stroke="var(--act)"
                stroke-width="4"
              />
            )}
            <text
              x={x}
              y="97"
              font-size="19"
              font-weight={is('broken') || step.number === now ? 700 : 560}
              text-anchor="middle"
              style={{ fill: step.number === now ? 'var(--act)' : 'var(--ink)' }}
            >
              {step.number}
            </text>
          </>
        )
      })}
      <rect y="36.8" width="332" height="2.4" fill="var(--joint)" />
    </svg>
  )
}
