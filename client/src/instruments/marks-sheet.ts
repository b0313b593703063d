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

/** `saw[0]` of the reading: enough, with the photo, to compute the value anew. */
export interface MarksSheet extends MarksTaken {
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
    title: 'Cross on the hub',
    says: () => 'Its very middle. Where a bolt stands proud: the middle of its foot.',
  },
  {
    name: 'tip_a',
    times: 1,
    title: 'Cross on a tooth tip',
    says: (span: number) => `Some ${span / 2} teeth from the mark, on either side of it.`,
  },
  {
    name: 'tip_b',
    times: 1,
    title: 'Cross on the other tip',
    says: (span: number) => `Count ${span} teeth on, past the mark. The same spot of that tooth.`,
  },
  { name: 'mark', times: 2, title: 'Cross on the mark', says: () => 'The mark on the wheel.' },
  {
    name: 'pointer',
    times: 2,
    title: 'Cross on the pointer',
    says: () => 'The fixed mark or edge that the wheel is set by.',
  },
  {
    name: 'far_a',
    times: 1,
    title: 'Cross on a far tooth tip',
    says: () => 'Five taps do not show whether the photo is square on. Across the wheel from the first tip.',
  },
  {
    name: 'far_b',
    times: 1,
    title: 'Cross on another far tip',
    says: () => 'Across the wheel from the second tip.',
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
