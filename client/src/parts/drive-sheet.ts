/**
 * The sheet a drive is drawn on: what it is like now, what to show, and its scale in the box.
 * Pure.
 */
import type { DriveBlock, DriveWheel } from '../procedure/bundle'
import { isArm, slackSpans, tensionerOf } from './drive-sides'

export type Point = readonly [number, number]
export type DriveHole = NonNullable<DriveWheel['hole']>
export type DriveEccentric = NonNullable<DriveWheel['eccentric']>

export type Ink = 'ground' | 'plate' | 'ink' | 'act' | 'line' | 'none'
export interface Stroke {
  fill?: Ink
  stroke?: Ink
  width?: number
  dash?: string
  length?: number
}
export type Shape =
  | ({ kind: 'circle'; cx: number; cy: number; r: number } & Stroke)
  | ({ kind: 'path'; d: string } & Stroke)
  | ({ kind: 'rect'; x: number; y: number; w: number; h: number; rx: number } & Stroke)
  | { kind: 'text'; x: number; y: number; size: number; fill: Ink; halo: boolean; text: string }

/** What the engine is like. A pin that may be in and may be out is `null`, and drawn as neither. */
export interface DriveState {
  belt: 'old' | 'new' | 'off'
  /** By wheel: is its pin in? */
  pins?: Readonly<Record<string, boolean | null>>
  /** Wheels that are off the engine. */
  gone?: readonly string[]
}

export interface DriveView {
  width: number
  height: number
  /** Wheels, and tool slots of pins, to look at. */
  look?: readonly string[]
  /** What is stamped on a pin's tag; its slot in capitals where nothing is given. */
  tags?: Readonly<Record<string, string>>
  /** Show the span to pluck. */
  pluck?: boolean
  /** Show how the belt goes on: in which order, where it must be tight, and the teeth to each mark. */
  fitting?: boolean
  /** Show the tensioner's pointer and notch large. */
  loupe?: boolean
  /** Bolts on a wheel in the order they are tightened: each by the way from its middle, degrees; of wheels, the wheels themselves. */
  bolts?: readonly { wheel: string; deg: number | null }[]
}

export interface Circle {
  x: number
  y: number
  r: number
}
export interface Rect {
  x: number
  y: number
  w: number
  h: number
}
export type Span = readonly [Point, Point]

const MARGIN = 13 // px: a mark's outer line, and the thickest stroke
const STUD = 6000 // micrometres: half a key's width, for an arm whose stud stands outside every wheel
const RING = 9 // px from the belt's pitch line to the ring round a wheel to look at
const RINGS_APART = 6 // px: they are 4.5 wide
export const BADGE = 11.5 // px: round a digit of 19 px
export const SMALL_PIN = 4.8
const BOLT_RADII = [0.6, 0.5, 0.7, 0.8] // of the wheel's body: where its bolts may be drawn
const BOLT_TURNS = [0, 12, -12, 24, -24, 36, -36] // degrees: out of a pin's way
const AT_THE_HOUR = 0.2 // hours: six degrees
const DETAIL_FROM = 240 // px of box height: below it words would hide the drive
export const SHRINK = [1, 0.94, 0.88, 0.82, 0.76, 0.7, 0.62] as const // make room for words that do not fit round it
export const LOUPES = [64, 56, 48, 42] as const // px
export const SIDES = ['slack', 'tight'] as const

/** One decimal of a px is below what a screen shows. */
export const n1 = (value: number) => String(r1(value))

export const r1 = (value: number) => Math.round(value * 10) / 10 + 0

export const rad = (mdeg: number) => (mdeg / 1000) * (Math.PI / 180)

export const tagOf = (hole: DriveHole, view: DriveView) =>
  view.tags?.[hole.pin] ?? hole.pin.toUpperCase().replaceAll('_', ' ')

/** Where a hole is on its wheel's face, as on a clock's: `11-12` between two hours, `6` at one. */
export function hoursOf({ x_um, y_um }: DriveWheel, hole: DriveHole): string {
  const hours = (Math.atan2(hole.x_um - x_um, hole.y_um - y_um) * 6) / Math.PI + 12
  const hour = (at: number) => String(((at + 11) % 12) + 1)
  const nearest = Math.round(hours)
  if (Math.abs(hours - nearest) < AT_THE_HOUR) return hour(nearest)
  return `${hour(Math.floor(hours))}-${hour(Math.ceil(hours))}`
}

export const pinOf = (state: DriveState, wheel: string) => {
  const pin = state.pins?.[wheel]
  return pin === undefined ? false : pin
}

/** The drive at one scale inside the box: turns micrometres into px. */
export class Sheet {
  readonly k: number
  private readonly ox: number
  private readonly oy: number

  constructor(
    readonly drive: DriveBlock,
    readonly state: DriveState,
    readonly view: DriveView,
    shrink: number,
    /** Which part of the room that is left over lies to the left of it. */
    aside = 0.5,
    /** And which part above it. */
    above = 0.5,
  ) {
    const edge = (wheel: DriveWheel) => wheel.r_um + (wheel.inside ? drive.belt.back_um : 0)
    const studs = drive.wheels.flatMap((wheel) => (wheel.eccentric ? [wheel.eccentric] : []))
    const extent = (axis: 'x_um' | 'y_um') => [
      ...drive.wheels.flatMap((wheel) => [wheel[axis] - edge(wheel), wheel[axis] + edge(wheel)]),
      ...studs.flatMap((stud) => [stud[axis] - STUD, stud[axis] + STUD]),
    ]
    const [xs, ys] = [extent('x_um'), extent('y_um')]
    const [left, right, low, high] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)]
    const [width, height] = [view.width - 2 * MARGIN, view.height - 2 * MARGIN]
    this.k = shrink * Math.min(width / (right - left), height / (high - low))
    const spare = width - this.k * (right - left)
    this.ox = MARGIN + spare * aside - this.k * left
    this.oy = MARGIN + (height - this.k * (high - low)) * above + this.k * high
  }

  at(x_um: number, y_um: number): Point {
    return [this.ox + this.k * x_um, this.oy - this.k * y_um]
  }

  /** Radius of a wheel's own body: belts ride on teeth or on their back, not on the pitch line. */
  body(wheel: DriveWheel): number {
    const { pitch_um: pitch, back_um: back } = this.drive.belt
    if (!wheel.inside) return this.k * (wheel.r_um - back)
    return (
      this.k *
      (wheel.r_um - (pitch === undefined ? back : pitch * (wheel.teeth === undefined ? 0.44 : 0.325)))
    )
  }

  middle({ x_um, y_um }: { x_um: number; y_um: number }): Point {
    return this.at(x_um, y_um)
  }

  get tensioner(): DriveWheel {
    return this.drive.wheels[tensionerOf(this.drive)]!
  }

  /** An arm has no pointer, and a tensioner that is off none that could be set. */
  get hasLoupe(): boolean {
    return this.view.loupe === true && !isArm(this.tensioner) && !this.isGone(this.tensioner)
  }

  /** Words would hide the drive. */
  get isSmall(): boolean {
    return this.view.height < DETAIL_FROM
  }

  /** Where the belt goes on they are in; in a small drawing the numbers have their place. */
  get hasPins(): boolean {
    return !(this.view.fitting && this.isSmall)
  }

  /** Whether its line is drawn: where it goes on, also before it is on. */
  get hasBelt(): boolean {
    return this.state.belt !== 'off' || this.view.fitting === true
  }

  /** Where every wheel is to be looked at, rings would say nothing. */
  get hasRings(): boolean {
    return !this.view.fitting && !this.drive.wheels.every(({ id }) => this.isLooked(id))
  }

  /** Where bolts stand, in their order; none where one of them has no room on its wheel. */
  boltPlaces(): Point[] {
    const bolts = this.view.bolts ?? []
    const tries = BOLT_TURNS.flatMap((turn) => BOLT_RADII.map((part) => ({ part, turn })))
    for (const { part, turn } of tries) {
      const spots = bolts.map(({ wheel, deg }) => this.boltPlace(wheel, deg, part, turn))
      if (this.areClear(spots)) return spots
    }
    return []
  }

  private boltPlace(id: string, deg: number | null, part: number, turn: number): Point {
    const wheel = this.drive.wheels.find((each) => each.id === id)!
    const [x, y] = this.middle(wheel)
    const angle = rad(1000 * ((deg ?? 90) + turn))
    const r = (deg === null ? 1 - part : part) * this.body(wheel)
    return [x + r * Math.cos(angle), y - r * Math.sin(angle)]
  }

  /** Whether discs lie on no other and on no pin's hole. */
  private areClear(spots: readonly Point[]): boolean {
    const holes = this.drive.wheels.flatMap(({ hole }) => (hole ? [this.middle(hole)] : []))
    return spots.every(
      ([x, y], i) =>
        spots.slice(i + 1).every(([a, b]) => Math.hypot(x - a, y - b) >= 2 * BADGE + 1) &&
        holes.every(([a, b]) => Math.hypot(x - a, y - b) >= BADGE + 8),
    )
  }

  isLooked(name: string): boolean {
    return this.view.look?.includes(name) ?? false
  }

  isGone({ id }: DriveWheel): boolean {
    return this.state.gone?.includes(id) ?? false
  }

  /** Radius of the ring round a wheel to look at: rings of neighbours do not touch. */
  ring(wheel: DriveWheel): number {
    const [x, y] = this.middle(wheel)
    const r = this.k * wheel.r_um
    let gap = RING
    for (const other of this.drive.wheels) {
      if (other === wheel || !this.isLooked(other.id)) continue
      const [ox, oy] = this.middle(other)
      const between = Math.hypot(ox - x, oy - y) - r - this.k * other.r_um
      gap = Math.min(gap, (between - RINGS_APART) / 2)
    }
    return r + Math.max(0, gap)
  }

  /** What of a wheel is drawn round its middle: its ring, else the belt on it. */
  edge(wheel: DriveWheel): number {
    return this.hasRings && this.isLooked(wheel.id) ? this.ring(wheel) : this.k * wheel.r_um + 4
  }

  /** Where the belt, moved outward, comes to a wheel; the arc from there; where it leaves. */
  private arc(index: number, outward_um: number): [string, string, string] {
    const [arc, wheel] = [this.drive.path[index]!, this.drive.wheels[index]!]
    const grown = 1 + (wheel.inside ? outward_um : -outward_um) / wheel.r_um
    const move = ([x, y]: Point) =>
      this.at(wheel.x_um + (x - wheel.x_um) * grown, wheel.y_um + (y - wheel.y_um) * grown)
    const [[x1, y1], [x2, y2]] = [move(arc.in), move(arc.out)]
    const r = n1(this.k * wheel.r_um * grown)
    const sweep = (this.drive.running === 'clockwise') === wheel.inside ? 1 : 0
    const end = `${n1(x2)} ${n1(y2)}`
    return [`${n1(x1)} ${n1(y1)}`, `A${r} ${r} 0 ${arc.large ? 1 : 0} ${sweep} ${end}`, end]
  }

  /** The belt's pitch line moved outward by so many micrometres. */
  path(outward_um: number): string {
    const arcs = this.drive.path.map((_, index) => this.arc(index, outward_um))
    return `M${arcs.map(([start, arc]) => start + arc).join('L')}Z`
  }

  /** The same line in two: the slack side, and the tight side with the arcs at its ends. */
  sides(outward_um: number): { slack: string; tight: string } {
    const [count, end] = [this.drive.path.length, slackSpans(this.drive)]
    const arcs = Array.from({ length: count + 1 }, (_, index) => this.arc(index % count, outward_um))
    const over = arcs.slice(1, end).map(([start, arc]) => `L${start}${arc}`)
    return {
      slack: `M${arcs[0]![2]}${over.join('')}L${arcs[end]![0]}`,
      tight: `M${arcs
        .slice(end)
        .map(([start, arc]) => start + arc)
        .join('L')}`,
    }
  }

  /** Where the spans of the slack and of the tight side begin and end, the longest first. */
  sideSpans(): { side: (typeof SIDES)[number]; spans: Span[] }[] {
    const { path } = this.drive
    const end = slackSpans(this.drive)
    const all = path.map((arc, i): Span => [this.at(...arc.out), this.at(...path[(i + 1) % path.length]!.in)])
    const length = ([[x1, y1], [x2, y2]]: Span) => Math.hypot(x2 - x1, y2 - y1)
    return SIDES.map((side) => ({ side, spans: side === 'slack' ? all.slice(0, end) : all.slice(end) }))
      .filter(({ spans }) => spans.length > 0)
      .map(({ side, spans }) => ({ side, spans: spans.sort((one, other) => length(other) - length(one)) }))
  }

  /** Points along the straight spans, 6 px apart at most: of the whole belt, or only of the one that leaves a wheel. */
  spanPoints(from?: string): Point[] {
    const { path } = this.drive
    return path.flatMap((arc, i) =>
      from !== undefined && arc.wheel !== from
        ? []
        : pointsBetween(this.at(...arc.out), this.at(...path[(i + 1) % path.length]!.in)),
    )
  }
}

export const between = ([x1, y1]: Point, [x2, y2]: Point): Point => [(x1 + x2) / 2, (y1 + y2) / 2]

/** Points on a line, 6 px apart at most. */
export function pointsBetween([x1, y1]: Point, [x2, y2]: Point): Point[] {
  const steps = Math.max(1, Math.ceil(Math.hypot(x2 - x1, y2 - y1) / 6))
  return Array.from(
    { length: steps + 1 },
    (_, s): Point => [x1 + ((x2 - x1) * s) / steps, y1 + ((y2 - y1) * s) / steps],
  )
}
