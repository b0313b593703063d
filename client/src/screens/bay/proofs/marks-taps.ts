/** The order of taps on a photo: two first looks at the whole of it, then the cross laid on one thing after another. */
import { between, asTaps, loupeZoom, TAPS_ASKED, type TapName } from '../../../instruments/marks-sheet'
import {
  measureMarks,
  suggestedSpan,
  type MarksFound,
  type MarksTaken,
  type Point,
} from '../../../instruments/marks'
import type { Refusal } from '../../../instruments/refusal'
import * as words from '../../../words/en/bay/proofs/marks-taps'
import { t } from '../../../words/message'

/** What is asked for now. `whole`: a tap on the whole photo, which only says where to look closer. */
export interface Ask {
  title: string
  says: string
  whole: boolean
  once: boolean
}

const LOOKS: readonly Ask[] = [
  {
    title: t(words.tapWheel),
    says: t(words.tapWheelHint),
    whole: true,
    once: true,
  },
  {
    title: t(words.tapTeeth),
    says: t(words.tapTeethHint),
    whole: true,
    once: true,
  },
]

const PLACES: readonly { name: TapName; ask: (span: number) => Ask }[] = TAPS_ASKED.flatMap(
  ({ name, times, title, says }) => {
    const first = { name, ask: (span: number) => ({ title, says: says(span), whole: false, once: true }) }
    const more = {
      name,
      ask: () => ({
        title: t(words.onceMore, { name, title }),
        says: t(words.secondLook),
        whole: false,
        once: false,
      }),
    }
    return times === 2 ? [first, more] : [first]
  },
)
const FIRST = PLACES.filter(({ name }) => !name.startsWith('far')).length

export interface Wheel {
  width: number
  height: number
  teeth: number
}
export interface Marks {
  taken: MarksTaken
  result: MarksFound | Refusal
}

/** Every tap so far, in order; all follows from them, so that the last can always be taken back. */
export type Tapped = readonly Point[]

/** What is asked for next; null when the taps are enough. */
export function askNow(tapped: Tapped, wheel: Wheel): Ask | null {
  const look = LOOKS[tapped.length]
  if (look) return look
  const placed = tapped.length - LOOKS.length
  if (placed >= FIRST && !isUnclear(tapped, wheel)) return null
  return PLACES[placed]?.ask(suggestedSpan(wheel.teeth)) ?? null
}

function isUnclear(tapped: Tapped, wheel: Wheel): boolean {
  const first = marksOf(tapped.slice(0, LOOKS.length + FIRST), wheel)?.result
  return first?.ok === false && first.code === 'tilt-unclear'
}

/** '3 of 7' */
export const countWords = (tapped: Tapped): string =>
  t(words.of, {
    tap: tapped.length - LOOKS.length + 1,
    taps: tapped.length - LOOKS.length < FIRST ? FIRST : PLACES.length,
  })

/** Screen pixels to a photo pixel while the cross is laid. */
export const zoomOf = (tapped: Tapped): number => loupeZoom(tapped[0]!, tapped[1]!)

export function placesOf(tapped: Tapped): Partial<Record<TapName, Point>> {
  const found: Partial<Record<TapName, Point>> = {}
  tapped.slice(LOOKS.length).forEach((at, i) => {
    const { name } = PLACES[i]!
    const before = found[name]
    found[name] = before ? between(before, at) : at
  })
  return found
}

/** The reading, or why there is none; null while taps are missing. */
export function marksOf(tapped: Tapped, { width, height, teeth }: Wheel): Marks | null {
  const taps = tapped.length < LOOKS.length + FIRST ? null : asTaps(placesOf(tapped))
  if (!taps) return null
  const taken = {
    width,
    height,
    teeth,
    span: suggestedSpan(teeth),
    zoom_milli: Math.round(1000 * zoomOf(tapped)),
    taps,
  }
  return { taken, result: measureMarks(taken) }
}

/** Where to look first for what is asked now: near what was tapped before it, and aside of it the second time. */
export function lookAt(tapped: Tapped): Point {
  const { hub, tip_a, tip_b, mark } = placesOf(tapped)
  const placed = PLACES[tapped.length - LOOKS.length]
  const last = tapped[tapped.length - 1]!
  if (placed && PLACES[tapped.length - LOOKS.length - 1]?.name === placed.name)
    return aside(last, 60 / zoomOf(tapped))
  switch (placed?.name) {
    case 'hub':
      return tapped[0]!
    case 'tip_a':
      return tapped[1]!
    case 'mark':
      return onRim(hub!, between(tip_a!, tip_b!), tip_a!)
    case 'pointer':
      return mark!
    case 'far_a':
      return across(hub!, tip_a!)
    case 'far_b':
      return across(hub!, tip_b!)
    default:
      return last
  }
}

const aside = ([x, y]: Point, pixels: number): Point => [
  Math.round(x + 80 * pixels),
  Math.round(y + 60 * pixels),
]
const across = (hub: Point, at: Point): Point => [2 * hub[0] - at[0], 2 * hub[1] - at[1]]

/** From the hub through `towards`, as far out as `rim`. */
function onRim(hub: Point, towards: Point, rim: Point): Point {
  const far =
    Math.hypot(rim[0] - hub[0], rim[1] - hub[1]) /
    Math.max(1, Math.hypot(towards[0] - hub[0], towards[1] - hub[1]))
  return [Math.round(hub[0] + (towards[0] - hub[0]) * far), Math.round(hub[1] + (towards[1] - hub[1]) * far)]
}
