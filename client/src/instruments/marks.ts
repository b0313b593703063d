/**
 * How far a wheel's mark stands from its pointer, in teeth, from taps on one photo.
 *
 * Five taps give the value. The middle of the hub and two tooth tips, whose teeth apart are counted, fix how the camera
 * squeezed the wheel (an affine map about the hub); the angle between mark and pointer is measured through that map.
 * Squeezing by perspective is left out: for marks a tooth or so apart it costs under 0.05 tooth at 20 degrees of tilt.
 *
 * The tilt is what spoils the value where mark and pointer do not lie at one depth (5 mm at 20 degrees: 1.7 degrees), and
 * five taps tell it badly: perspective and tilt look alike on one side of the wheel. So from five taps a photo passes up to
 * 15 degrees measured and fails from 28; between, two more tooth tips on the far side are asked for. Those seven taps
 * fix the whole projective picture of the wheel (the hub's vanishing line is the conic's polar) and the gate is 20 degrees.
 *
 * No focal length is needed. The twin is `server/twoturns/instruments/marks.py`; the figures are in tests/bench.
 */
import { refuse, rounded, type Refusal } from './refusal'
import * as words from '../words/en/instruments/marks'
import { t } from '../words/message'

export const EDITION = 1
const MOST_TILT_DEG = 20
/** From five taps: surely square enough up to here, surely not from there. */
const CLEAR_TILT_DEG = 15
const HOPELESS_TILT_DEG = 28
/** A finger hits within some 3 pixels of the screen, which is a hundredth of this radius. */
export const LEAST_RADIUS = 300
/** Beyond, the loupe shows the photo's pixels and no more of the wheel. */
export const MOST_ZOOM_MILLI = 4000
const LEAST_SPAN_DEG = 50
const MOST_SPAN_DEG = 140
/** Hub from the middle of the photo, in long sides: 18 degrees off the axis of a common lens. */
const MOST_OFF_CENTRE = 0.25
const FAR_APART_CENTI = 150
const IN_LINE_CENTI = 25
const ONE_OUT_CENTI = 75

/** A place on the photo as displayed, in hundredths of a pixel from its upper left corner. */
export type Point = readonly [x: number, y: number]

export interface Taps {
  hub: Point
  tip_a: Point
  tip_b: Point
  mark: Point
  pointer: Point
  /** Two tooth tips on the far side of the wheel, each roughly across from one of the first two. */
  far?: readonly [Point, Point]
}

export interface MarksTaken {
  /** Of the photo, pixels. */
  width: number
  height: number
  /** Of the wheel. */
  teeth: number
  /** Teeth from tip to tip, the mark between them. */
  span: number
  /** Screen pixels to a photo pixel when the taps were made, in thousandths. */
  zoom_milli: number
  taps: Taps
}

export interface MarksFound {
  ok: true
  /** Above zero: the mark stands clockwise of the pointer, as the photo shows it. */
  teeth_milli: number
  tilt_mdeg: number
  /** As a reading records it: signed teeth, two decimals. */
  value: string
  verdict: 'in-line' | 'one-out' | 'cannot-tell'
  message: string
  hint: string
}

/** The number of teeth to ask for between the tips: even, near a fifth of the wheel. */
export const suggestedSpan = (teeth: number): number => Math.max(4, 2 * Math.round(teeth / 10))

/** The value and its verdict, or why there is none. */
export function measureMarks(taken: MarksTaken): MarksFound | Refusal {
  const spanDeg = (360 * taken.span) / taken.teeth
  if (!(spanDeg >= LEAST_SPAN_DEG && spanDeg <= MOST_SPAN_DEG)) {
    return refuse(
      'span-unfit',
      t(words.spanUnfit, { span: taken.span, teeth: taken.teeth }),
      t(words.spanUnfitHint, { teeth: suggestedSpan(taken.teeth) }),
    )
  }
  if (offCentre(taken) > MOST_OFF_CENTRE) {
    return refuse('off-centre', t(words.offCentre), t(words.offCentreHint))
  }
  const wheel = wheelOf(taken.taps, spanDeg)
  if (wheel === null) return noWheel()
  return (
    tooSmall(wheel.radius, taken.zoom_milli) ??
    outside(wheel) ??
    tooTilted(wheel) ??
    found(wheel, taken.teeth)
  )
}

interface Vector {
  x: number
  y: number
}
/** A symmetric 2 x 2 form: xx·x² + 2·xy·x·y + yy·y². */
interface Form {
  xx: number
  xy: number
  yy: number
}
interface Wheel {
  /** Longer half axis, photo pixels. */
  radius: number
  tiltDeg: number
  /** False: from five taps alone. */
  tiltIsSure: boolean
  markIsBetween: boolean
  /** From pointer to mark, clockwise on the photo. */
  angleDeg: number
}

const cross = (a: Vector, b: Vector) => a.x * b.y - a.y * b.x
const degrees = (rad: number) => (rad * 180) / Math.PI

function offCentre({ width, height, taps: { hub } }: MarksTaken): number {
  const [x, y] = [hub[0] / 100 - width / 2, hub[1] / 100 - height / 2]
  return Math.sqrt(x * x + y * y) / Math.max(width, height)
}

function wheelOf(taps: Taps, spanDeg: number): Wheel | null {
  const from = ([x, y]: Point): Vector => ({ x: (x - taps.hub[0]) / 100, y: (y - taps.hub[1]) / 100 })
  const [a, b, mark, pointer] = [from(taps.tip_a), from(taps.tip_b), from(taps.mark), from(taps.pointer)]
  const area = cross(a, b)
  if (Math.abs(area) < 1 || [mark, pointer].some(({ x, y }) => x === 0 && y === 0)) return null
  const cos = Math.cos((spanDeg * Math.PI) / 180)
  const sin = Math.sin((spanDeg * Math.PI) / 180)
  // In the frame of the two tips a point is alpha·a + beta·b; on the wheel a and b are unit vectors, spanDeg apart.
  const alpha = (p: Vector) => cross(p, b) / area
  const beta = (p: Vector) => cross(a, p) / area
  const [ma, mb, pa, pb] = [alpha(mark), beta(mark), alpha(pointer), beta(pointer)]
  const turn =
    Math.sign(area) * Math.atan2(sin * (pa * mb - pb * ma), pa * ma + pb * mb + cos * (pa * mb + pb * ma))
  const near = formOfTips(a, b, area, cos)
  const whole =
    taps.far && projectiveForm([a, b, ...taps.far.map(from)], cos, 1 / Math.sqrt(axes(near).least))
  if (whole === null) return null
  return {
    radius: 1 / Math.sqrt(axes(near).least),
    tiltDeg: tiltOf(whole ?? near),
    tiltIsSure: whole !== undefined,
    markIsBetween: ma >= 0 && mb >= 0,
    angleDeg: degrees(turn),
  }
}

/** The form that is 1 on the wheel's rim, from hub and two tips: the affine picture. */
function formOfTips(a: Vector, b: Vector, area: number, cos: number): Form {
  const square = area * area
  return {
    xx: (b.y * b.y + a.y * a.y - 2 * cos * a.y * b.y) / square,
    xy: (-b.x * b.y - a.x * a.y + cos * (a.x * b.y + a.y * b.x)) / square,
    yy: (b.x * b.x + a.x * a.x - 2 * cos * a.x * b.x) / square,
  }
}

/**
 * The same about the hub in the projective picture: x'Bx = (1 - w·x)² on the rim, so with N = B - ww', x'Nx + 2w·x = 1.
 * Four rim points and the known angle between the first two are five equations for N and w; the small square in the
 * angle's equation comes from the round before. Null: no wheel looks like this.
 */
function projectiveForm(rim: readonly Vector[], cos: number, radius: number): Form | null {
  const unit = rim.map(({ x, y }) => ({ x: x / radius, y: y / radius }))
  const [a, b] = unit as [Vector, Vector]
  const rows = unit.map(({ x, y }) => [x * x, 2 * x * y, y * y, 2 * x, 2 * y])
  rows.push([a.x * b.x, a.x * b.y + a.y * b.x, a.y * b.y, cos * (a.x + b.x), cos * (a.y + b.y)])
  let w: Vector = { x: 0, y: 0 }
  let form: Form = { xx: 0, xy: 0, yy: 0 }
  for (let round = 0; round < 8; round += 1) {
    const square = (w.x * a.x + w.y * a.y) * (w.x * b.x + w.y * b.y) * (1 - cos)
    const solved = solve(rows, [1, 1, 1, 1, cos - square])
    if (solved === null) return null
    const [xx, xy, yy, x, y] = solved as [number, number, number, number, number]
    w = { x, y }
    form = { xx: xx + x * x, xy: xy + x * y, yy: yy + y * y }
  }
  return form.xx > 0 && form.xx * form.yy - form.xy * form.xy > 0 ? form : null
}

/** Gaussian elimination with the largest pivot of each column; null when the rows do not stand apart. */
function solve(rows: readonly (readonly number[])[], right: readonly number[]): number[] | null {
  const table = rows.map((row, i) => [...row, right[i]!])
  const n = table.length
  for (let col = 0; col < n; col += 1) {
    let best = col
    for (let row = col + 1; row < n; row += 1)
      if (Math.abs(table[row]![col]!) > Math.abs(table[best]![col]!)) best = row
    ;[table[col], table[best]] = [table[best]!, table[col]!]
    const pivot = table[col]!
    if (Math.abs(pivot[col]!) < 1e-9) return null
    for (let row = 0; row < n; row += 1) {
      const factor = row === col ? 0 : table[row]![col]! / pivot[col]!
      for (let k = col; k <= n; k += 1) table[row]![k]! -= factor * pivot[k]!
    }
  }
  return table.map((row, i) => row[n]! / row[i]!)
}

function axes({ xx, xy, yy }: Form): { least: number; most: number } {
  const middle = (xx + yy) / 2
  const half = Math.sqrt(((xx - yy) / 2) ** 2 + xy * xy)
  return { least: middle - half, most: middle + half }
}

/** A circle seen from an angle is as much shorter as the cosine of that angle. */
function tiltOf(form: Form): number {
  const { least, most } = axes(form)
  return degrees(Math.acos(Math.sqrt(Math.max(0, least / most))))
}

const noWheel = () => refuse('taps-unfit', t(words.tapsUnfit), t(words.tapsUnfitHint))

function tooSmall(radius: number, zoomMilli: number): Refusal | null {
  const seen = (radius * Math.min(zoomMilli, MOST_ZOOM_MILLI)) / 1000
  if (seen >= LEAST_RADIUS) return null
  const nearer = radius * MOST_ZOOM_MILLI < LEAST_RADIUS * 1000
  return refuse(
    'too-small',
    t(words.tooSmall),
    nearer ? t(words.tooSmallCloserHint) : t(words.tooSmallLargerHint),
  )
}

const outside = ({ markIsBetween }: Wheel): Refusal | null =>
  markIsBetween ? null : refuse('mark-outside', t(words.markOutside), t(words.markOutsideHint))

function tooTilted({ tiltDeg, tiltIsSure }: Wheel): Refusal | null {
  const shown = rounded(tiltDeg)
  if (tiltDeg > (tiltIsSure ? MOST_TILT_DEG : HOPELESS_TILT_DEG)) {
    return refuse('tilted', t(words.tilted, { tilt: shown, most: MOST_TILT_DEG }), t(words.tiltedHint))
  }
  if (tiltIsSure || tiltDeg <= CLEAR_TILT_DEG) return null
  return refuse('tilt-unclear', t(words.tiltUnclear), t(words.tiltUnclearHint))
}

function found(wheel: Wheel, teeth: number): MarksFound | Refusal {
  const teethMilli = rounded((wheel.angleDeg * teeth * 1000) / 360)
  const centi = Math.sign(teethMilli) * rounded(Math.abs(teethMilli) / 10) || 0
  const value = (centi / 100).toFixed(2)
  const apart = value.replace('-', '')
  const side = centi > 0 ? 'clockwise' : 'anticlockwise'
  if (Math.abs(centi) > FAR_APART_CENTI) {
    return refuse('far-apart', t(words.farApart, { apart }), t(words.farApartHint))
  }
  const result = {
    ok: true as const,
    teeth_milli: teethMilli,
    tilt_mdeg: rounded(wheel.tiltDeg * 1000),
    value,
  }
  if (Math.abs(centi) <= IN_LINE_CENTI) {
    return {
      ...result,
      verdict: 'in-line',
      message: t(words.inLine, { apart }),
      hint: t(words.inLineHint),
    }
  }
  if (Math.abs(centi) >= ONE_OUT_CENTI) {
    return {
      ...result,
      verdict: 'one-out',
      message: t(words.oneToothOut, { side }),
      hint: t(words.oneToothOutHint),
    }
  }
  return {
    ...result,
    verdict: 'cannot-tell',
    message: t(words.undecided, { apart }),
    hint: t(words.undecidedHint),
  }
}
