/**
 * The sheet a drive is drawn on: DRIVE and its state, their scale in the box, and where words and tags find room.
 * Words are placed by search: as near as possible to what they name, over no wheel, belt, mark or other word.
 * Pure, and the same search as `server/twoturns/procedure/drive_sheet.py`.
 */

export type Point = readonly [number, number]

export interface DriveHole { x_um: number; y_um: number; pin: string; condition: string }
export interface DriveEccentric { x_um: number; y_um: number; pointer_mdeg: number; notch_mdeg: number }
export interface DriveWheel {
  id: string
  label: string
  x_um: number
  y_um: number
  r_um: number
  inside: boolean
  teeth?: number
  condition?: string
  mark_mdeg?: number
  hole?: DriveHole
  eccentric?: DriveEccentric
}
/** DRIVE of a bundle (DEVELOPERS.md, section 6). */
export interface DriveBlock {
  running: 'clockwise' | 'anticlockwise'
  belt: { teeth?: number; pitch_um?: number; width_um: number; back_um: number; length_um: number; condition?: string }
  wheels: readonly DriveWheel[]
  path: readonly { wheel: string; in: Point; out: Point; large: boolean }[]
  order: readonly string[]
  counts: readonly { from: string; to: string; teeth: number }[]
  span: { from: string; to: string; length_um: number; low_hz: string; high_hz: string; target_hz: string }
}

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
  /** Where the drive stands when the box is wider than it. */
  align?: 'start' | 'middle' | 'end'
  /** Wheels, and tool slots of pins, to look at. */
  look?: readonly string[]
  /** What is stamped on a pin's tag; its slot in capitals where nothing is given. */
  tags?: Readonly<Record<string, string>>
  /** Show the span to pluck. */
  pluck?: boolean
  /** Show the belt teeth to each mark, counted along the tight side. */
  counts?: boolean
  /** End of the leader from the first thing to look at, in px of the box. */
  leaderTo?: Point
}

export interface Circle { x: number; y: number; r: number }
export interface Rect { x: number; y: number; w: number; h: number }

const MARGIN = 13 // px: a mark's outer line, and the thickest stroke
const LETTER = 12.4 // px: capitals at 19 px, weight 680, 80 % width, letter spacing included
const LINE = 20 // px: height kept free for a word of 19 px
const TAG_HEIGHT = 26
const STUD = 6000 // micrometres: half a key's width, for an arm whose stud stands outside every wheel
const SWING = 16 // px kept free beside a span that is plucked
export const DETAIL_FROM = 240 // px of box height: below it words would hide the drive
export const SHRINK = [1, 0.94, 0.88, 0.82, 0.76] as const // make room for words that do not fit round it

/** One decimal of a px is below what a screen shows, and keeps both languages' texts equal. */
export const n1 = (value: number) => String(r1(value))

export const r1 = (value: number) => Math.round(value * 10) / 10 + 0

export const rad = (mdeg: number) => (mdeg / 1000) * (Math.PI / 180)

/** The state of a drive out of the values each condition may have now. */
export function driveState(drive: DriveBlock, possible: Readonly<Record<string, readonly string[]>>): DriveState {
  const values = (condition: string | undefined) => (condition === undefined ? [] : (possible[condition] ?? []))
  const isOff = (condition: string | undefined) => values(condition).join() === 'off'
  const pins: Record<string, boolean | null> = {}
  for (const { id, hole } of drive.wheels) {
    if (!hole) continue
    const now = values(hole.condition)
    pins[id] = now.includes('in') ? (now.length > 1 ? null : true) : false
  }
  const belt = isOff(drive.belt.condition) ? 'off' : values(drive.belt.condition).includes('old') ? 'old' : 'new'
  return { belt, pins, gone: drive.wheels.filter((wheel) => isOff(wheel.condition)).map((wheel) => wheel.id) }
}

export const tagOf = (hole: DriveHole, view: DriveView) => view.tags?.[hole.pin] ?? hole.pin.toUpperCase().replaceAll('_', ' ')

export const pinOf = (state: DriveState, wheel: string) => {
  const pin = state.pins?.[wheel]
  return pin === undefined ? false : pin
}

export const isGone = (wheel: DriveWheel, state: DriveState) => state.gone?.includes(wheel.id) ?? false

/** The drive at one scale inside the box: turns micrometres into px. */
export class Sheet {
  readonly k: number
  private readonly ox: number
  private readonly oy: number

  constructor(readonly drive: DriveBlock, readonly view: DriveView, shrink: number) {
    const edge = (wheel: DriveWheel) => wheel.r_um + (wheel.inside ? drive.belt.back_um : 0)
    const studs = drive.wheels.flatMap((wheel) => (wheel.eccentric ? [wheel.eccentric] : []))
    const extent = (axis: 'x_um' | 'y_um') => [...drive.wheels.flatMap((wheel) => [wheel[axis] - edge(wheel), wheel[axis] + edge(wheel)]), ...studs.flatMap((stud) => [stud[axis] - STUD, stud[axis] + STUD])]
    const [xs, ys] = [extent('x_um'), extent('y_um')]
    const [left, right, low, high] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)]
    const [width, height] = [view.width - 2 * MARGIN, view.height - 2 * MARGIN]
    this.k = shrink * Math.min(width / (right - left), height / (high - low))
    const spare = width - this.k * (right - left)
    this.ox = MARGIN + spare * { start: 0, middle: 0.5, end: 1 }[view.align ?? 'middle'] - this.k * left
    this.oy = MARGIN + (height - this.k * (high - low)) / 2 + this.k * high
  }

  at(x_um: number, y_um: number): Point {
    return [this.ox + this.k * x_um, this.oy - this.k * y_um]
  }

  /** Radius of a wheel's own body: belts ride on teeth or on their back, not on the pitch line. */
  body(wheel: DriveWheel): number {
    const { pitch_um: pitch, back_um: back } = this.drive.belt
    if (!wheel.inside) return this.k * (wheel.r_um - back)
    return this.k * (wheel.r_um - (pitch === undefined ? back : pitch * (wheel.teeth === undefined ? 0.44 : 0.325)))
  }

  /** The belt's pitch line moved outward by so many micrometres. */
  path(outward_um: number): string {
    const parts = this.drive.path.map((arc, i) => {
      const wheel = this.drive.wheels[i] as DriveWheel
      const grown = 1 + (wheel.inside ? outward_um : -outward_um) / wheel.r_um
      const move = ([x, y]: Point) => this.at(wheel.x_um + (x - wheel.x_um) * grown, wheel.y_um + (y - wheel.y_um) * grown)
      const [[x1, y1], [x2, y2]] = [move(arc.in), move(arc.out)]
      const r = n1(this.k * wheel.r_um * grown)
      const sweep = (this.drive.running === 'clockwise') === wheel.inside ? 1 : 0
      return `${i === 0 ? 'M' : 'L'}${n1(x1)} ${n1(y1)}A${r} ${r} 0 ${arc.large ? 1 : 0} ${sweep} ${n1(x2)} ${n1(y2)}`
    })
    return `${parts.join('')}Z`
  }

  /** Points along the straight spans, 6 px apart at most: of the whole belt, or only of the one that leaves a wheel. */
  spanPoints(from?: string): Point[] {
    const { path } = this.drive
    return path.flatMap((arc, i) => {
      if (from !== undefined && arc.wheel !== from) return []
      const next = path[(i + 1) % path.length] as (typeof path)[number]
      const [[x1, y1], [x2, y2]] = [this.at(...arc.out), this.at(...next.in)]
      const steps = Math.max(1, Math.ceil(Math.hypot(x2 - x1, y2 - y1) / 6))
      return Array.from({ length: steps + 1 }, (_, s): Point => [x1 + ((x2 - x1) * s) / steps, y1 + ((y2 - y1) * s) / steps])
    })
  }
}

/** Middle and radius of the first looked-at thing's ring: a wheel, or the pin in its hole. */
export function firstLooked(sheet: Sheet): Circle | null {
  for (const id of sheet.view.look ?? []) {
    for (const wheel of sheet.drive.wheels) {
      const spot = wheel.id === id ? wheel : wheel.hole?.pin === id ? wheel.hole : null
      if (!spot) continue
      const [x, y] = sheet.at(spot.x_um, spot.y_um)
      return { x, y, r: spot === wheel ? ringRadius(sheet, wheel) : 9 }
    }
  }
  return null
}

export interface Placed { pin: DriveWheel; tag: Rect }
export interface Word { wheel: DriveWheel; text: string; box: Rect }

/** What words must keep clear of. */
export class Floor {
  readonly circles: Circle[] = []
  readonly rects: Rect[] = []
  private readonly loop: Point[]

  constructor(private readonly sheet: Sheet, state: DriveState) {
    const looked = new Set(sheet.view.look)
    for (const wheel of sheet.drive.wheels) {
      const [x, y] = sheet.at(wheel.x_um, wheel.y_um)
      this.circles.push({ x, y, r: ringRadius(sheet, wheel) - (looked.has(wheel.id) ? 0 : 5) })
      if (wheel.mark_mdeg === undefined) continue
      const out = sheet.k * wheel.r_um + 7
      this.circles.push({ x: x + out * Math.cos(rad(wheel.mark_mdeg)), y: y - out * Math.sin(rad(wheel.mark_mdeg)), r: 6 })
    }
    this.loop = sheet.spanPoints()
    if (state.belt !== 'off') for (const [x, y] of this.loop) this.circles.push({ x, y, r: 6 })
    if (state.belt !== 'off' && sheet.view.pluck) for (const [x, y] of sheet.spanPoints(sheet.drive.span.from)) this.circles.push({ x, y, r: SWING })
    if (sheet.view.leaderTo) this.keepLeaderFree(sheet.view.leaderTo)
  }

  private keepLeaderFree(end: Point): void {
    const from = firstLooked(this.sheet)
    if (!from) return
    const steps = Math.ceil(Math.hypot(end[0] - from.x, end[1] - from.y) / 6)
    for (let s = 0; s <= steps; s += 1) this.circles.push({ x: from.x + ((end[0] - from.x) * s) / steps, y: from.y + ((end[1] - from.y) * s) / steps, r: 5 })
  }

  isFree(box: Rect): boolean {
    const { width, height } = this.sheet.view
    if (box.x < 1 || box.y < 1 || box.x + box.w > width - 1 || box.y + box.h > height - 1) return false
    const free = this.rects.every((r) => box.x >= r.x + r.w + 3 || r.x >= box.x + box.w + 3 || box.y >= r.y + r.h + 3 || r.y >= box.y + box.h + 3)
    return free && this.circles.every((c) => distance(box, c.x, c.y) >= c.r)
  }

  /** Even-odd rule on the polygon of the spans. */
  isInLoop(x: number, y: number): boolean {
    let inside = false
    for (let i = 0, j = this.loop.length - 1; i < this.loop.length; j = i, i += 1) {
      const [[xi, yi], [xj, yj]] = [this.loop[i] as Point, this.loop[j] as Point]
      if (yi > y !== yj > y && x < ((xj - xi) * (y - yi)) / (yj - yi) + xi) inside = !inside
    }
    return inside
  }
}

function distance(box: Rect, x: number, y: number): number {
  return Math.hypot(Math.max(box.x - x, 0, x - box.x - box.w), Math.max(box.y - y, 0, y - box.y - box.h))
}

export const ringRadius = (sheet: Sheet, wheel: DriveWheel) => sheet.k * wheel.r_um + 9

/** The cheapest free place; angles and steps in a fixed order, the first of equals wins. */
function cheapest(candidates: readonly { box: Rect; cost: number }[], floor: Floor): Rect | null {
  let best: { box: Rect; cost: number } | null = null
  for (const each of candidates) if ((best === null || each.cost < best.cost - 1e-6) && floor.isFree(each.box)) best = each
  return best?.box ?? null
}

const ANGLES = Array.from({ length: 24 }, (_, i) => (i * Math.PI) / 12)

/** Round a point, touching a circle of radius r plus gap. Inside the loop is dearer for words, cheaper for tags. */
function around(x: number, y: number, r: number, w: number, h: number, gaps: readonly number[], extra: (angle: number, cx: number, cy: number) => number) {
  return ANGLES.flatMap((angle) =>
    gaps.map((gap) => {
      const [dx, dy] = [Math.cos(angle), Math.sin(angle)]
      const reach = r + gap + (Math.abs(dx) * w + Math.abs(dy) * h) / 2
      const [cx, cy] = [x + dx * reach, y + dy * reach]
      return { box: { x: cx - w / 2, y: cy - h / 2, w, h }, cost: gap + extra(angle, cx, cy) }
    }),
  )
}

export function placeTags(sheet: Sheet, state: DriveState, floor: Floor): { placed: Placed[]; missed: number } {
  const placed: Placed[] = []
  let missed = 0
  for (const pin of sheet.drive.wheels) {
    const { hole } = pin
    if (!hole || isGone(pin, state)) continue
    const looked = sheet.view.look?.includes(hole.pin) ?? false
    if (!looked && (pinOf(state, pin.id) !== true || sheet.view.height < DETAIL_FROM)) continue
    const [x, y] = sheet.at(hole.x_um, hole.y_um)
    const w = tagOf(hole, sheet.view).length * LETTER + 9
    const outward = Math.atan2(pin.y_um - hole.y_um, hole.x_um - pin.x_um)
    const frame = looked ? 10 : 0
    const candidates = around(x, y, 4, w + frame, TAG_HEIGHT + frame, [8, 13, 18, 24, 30, 38, 46], (angle, cx, cy) => 14 * (1 - Math.cos(angle - outward)) + (floor.isInLoop(cx, cy) ? 0 : 25))
    const tag = cheapest(candidates, floor)
    if (tag === null) {
      missed += 1
      continue
    }
    floor.rects.push(tag)
    placed.push({ pin, tag: { x: tag.x + frame / 2, y: tag.y + frame / 2, w, h: TAG_HEIGHT } })
  }
  return { placed, missed }
}

export function placeWords(sheet: Sheet, floor: Floor): { words: Word[]; missed: number } {
  const words: Word[] = []
  let missed = 0
  const { view, drive } = sheet
  const named = drive.wheels.filter((wheel) => (view.height >= DETAIL_FROM && wheel.mark_mdeg !== undefined) || view.look?.includes(wheel.id))
  for (const wheel of named) {
    const [x, y] = sheet.at(wheel.x_um, wheel.y_um)
    const count = view.counts ? drive.counts.find((each) => each.to === wheel.id) : undefined
    const text = count ? `${wheel.label} ${count.teeth}` : wheel.label
    const r = ringRadius(sheet, wheel) - (view.look?.includes(wheel.id) ? 0 : 5)
    const candidates = around(x, y, r, text.length * LETTER, LINE, [2, 6, 12, 20, 30, 42], (_, cx, cy) => (floor.isInLoop(cx, cy) ? 30 : 0))
    const box = cheapest(candidates, floor)
    if (box === null) {
      missed += 1
      continue
    }
    floor.rects.push(box)
    words.push({ wheel, text, box })
  }
  return { words, missed }
}

