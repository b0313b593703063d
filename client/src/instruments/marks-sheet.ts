/** What a reading by marks keeps, and the finger's way onto the photo. */
import {
  EDITION,
  LEAST_RADIUS,
  MOST_ZOOM_MILLI,
  type MarksFound,
  type MarksTaken,
  type Point,
  type Taps,
} from './marks'
import * as words from '../words/en/instruments/marks-sheet'
import { t } from '../words/message'

/** `saw[0]` of the reading: enough, with the photo, to compute the value anew. */
interface MarksSheet extends MarksTaken {
  v: 1
  by: 'marks'
  edition: number
  photo: string
  teeth_milli: number
  tilt_mdeg: number
}

/** @param photo the SHA-256 of the photo's bytes */
export function marksSheet(photo: string, taken: MarksTaken, found: MarksFound): MarksSheet {
  const { teeth_milli, tilt_mdeg } = found
  return { v: 1, by: 'marks', edition: EDITION, photo, ...taken, teeth_milli, tilt_mdeg }
}

/**
 * The taps in the order in which they are asked for; `times` two: asked for twice, and the middle counts. The last two
 * only after `tilt-unclear`.
 */
export const TAPS_ASKED = [
  {
    name: 'hub',
    times: 1,
    title: t(words.hub),
    says: () => t(words.hubHint),
  },
  {
    name: 'tip_a',
    times: 1,
    title: t(words.tip),
    says: (span: number) => t(words.tipHint, { span: span / 2 }),
  },
  {
    name: 'tip_b',
    times: 1,
    title: t(words.otherTip),
    says: (span: number) => t(words.otherTipHint, { span }),
  },
  { name: 'mark', times: 2, title: t(words.mark), says: () => t(words.markHint) },
  {
    name: 'pointer',
    times: 2,
    title: t(words.pointer),
    says: () => t(words.pointerHint),
  },
  {
    name: 'far_a',
    times: 1,
    title: t(words.farTip),
    says: () => t(words.farTipHint),
  },
  {
    name: 'far_b',
    times: 1,
    title: t(words.otherFarTip),
    says: () => t(words.otherFarTipHint),
  },
] as const satisfies readonly { name: string; times: 1 | 2; title: string; says: (span: number) => string }[]

export type TapName = (typeof TAPS_ASKED)[number]['name']

/** How the photo lies on the screen: its upper left corner, and screen pixels to a photo pixel. */
export interface View {
  left: number
  top: number
  zoom: number
}

/** Where a finger at (clientX, clientY) is on the photo, in hundredths of a pixel. */
export const onPhoto = (view: View, clientX: number, clientY: number): Point => [
  Math.round((100 * (clientX - view.left)) / view.zoom),
  Math.round((100 * (clientY - view.top)) / view.zoom),
]

export const zoomMilli = (view: View): number => Math.round(view.zoom * 1000)

/** The view of the loupe: `centre` in the middle of a screen that large. */
export function loupe(centre: Point, zoom: number, screen: { width: number; height: number }): View {
  return {
    left: screen.width / 2 - (zoom * centre[0]) / 100,
    top: screen.height / 2 - (zoom * centre[1]) / 100,
    zoom,
  }
}

/** The zoom at which a wheel is safely large enough and no larger, so that teeth can be counted: from a first look at its hub and one of its tips. */
export function loupeZoom(hub: Point, tip: Point): number {
  const radius = Math.hypot(tip[0] - hub[0], tip[1] - hub[1]) / 100
  return Math.min(MOST_ZOOM_MILLI / 1000, (1.35 * LEAST_RADIUS) / Math.max(1, radius))
}

/** Two taps of the same thing are truer than one: the middle between them. */
export const between = (a: Point, b: Point): Point => [
  Math.round((a[0] + b[0]) / 2),
  Math.round((a[1] + b[1]) / 2),
]

/** Taps by name, as they come from the screen, made ready for `measureMarks`; null while some are missing. */
export function asTaps(tapped: Partial<Record<TapName, Point>>): Taps | null {
  const { hub, tip_a, tip_b, mark, pointer, far_a, far_b } = tapped
  if (!hub || !tip_a || !tip_b || !mark || !pointer) return null
  return { hub, tip_a, tip_b, mark, pointer, ...(far_a && far_b ? { far: [far_a, far_b] as const } : {}) }
}
