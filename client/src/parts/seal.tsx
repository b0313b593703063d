/**
 * The seal of a step: a bolt head in its seat, and the paint that joins them.
 * A bar that is whole or broken needs no colour and no legend to a mechanic; every state reads in black and white at 20 px.
 */

import type { SealState } from '../work/shown'
import * as words from '../words/en/parts/seal'
import * as work from '../words/en/work/state'
import { t } from '../words/message'

export const SEAL_WORDS: Record<SealState, string> = {
  todo: t(words.toDo),
  now: t(words.now),
  holds: t(work.holds),
  broken: t(words.brokenToDoAgain),
  passed: t(work.passedBy),
}

const HEAD = '38.42,28.13 27.63,38.55 13.21,34.42 9.58,19.87 20.37,9.45 34.79,13.58'
const BAR = { x: 19.8, width: 8.4, rx: 1, fill: 'var(--paint)' }

function Empty({ colour, edge }: { colour: string; edge: number }) {
  return (
    <>
      <circle cx="24" cy="24" r={22.8 - edge / 2} fill="none" stroke={colour} stroke-width={edge} />
      <polygon
        points={HEAD}
        fill="none"
        stroke={colour}
        stroke-width={edge * 0.9}
        transform="rotate(-16 24 24)"
      />
    </>
  )
}

function Seat() {
  return <circle cx="24" cy="24" r="22.8" fill="var(--seat)" stroke="var(--rim)" stroke-width="1.6" />
}

/** The paint left on the seat when the head has turned or was passed by. */
function SeatEnds() {
  return (
    <g transform="rotate(16 24 24)">
      <rect {...BAR} y="2.2" height="6.8" />
      <rect {...BAR} y="39" height="6.8" />
    </g>
  )
}

function Head() {
  return <polygon points={HEAD} fill="var(--seat)" stroke="var(--joint)" stroke-width="2.2" />
}

function Drawn({ state }: { state: SealState }) {
  if (state === 'todo') return <Empty colour="var(--line)" edge={2.8} />
  if (state === 'now') return <Empty colour="var(--act)" edge={4.6} />
  if (state === 'holds') {
    return (
      <>
        <Seat />
        <Head />
        <rect {...BAR} y="2.2" height="43.6" transform="rotate(16 24 24)" />
      </>
    )
  }
  return (
    <>
      <Seat />
      <SeatEnds />
      <g class={state === 'broken' ? 'seal-head-turned' : undefined}>
        <Head />
        {state === 'broken' && <rect {...BAR} y="12" height="24" transform="rotate(16 24 24)" />}
      </g>
    </>
  )
}

/** `label` says whose seal it is; without it the seal is decoration beside words that already say its state. */
export function Seal({ state, size = 30, label }: { state: SealState; size?: number; label?: string }) {
  const spoken =
    label === undefined
      ? { 'aria-hidden': true as const }
      : { role: 'img' as const, 'aria-label': `${label}: ${SEAL_WORDS[state]}` }
  return (
    // biome-ignore lint/a11y/noSvgWithoutTitle: `spoken` names it, or hides it beside words that say the same
    <svg class="seal" width={size} height={size} viewBox="0 0 48 48" {...spoken}>
      <Drawn state={state} />
    </svg>
  )
}
