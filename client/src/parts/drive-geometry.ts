/**
 * The drive as a list of plain shapes in px: wheels to scale, belt, marks, pins, and where their words fit.
 * Pure, and the same rule for rule as `server/twoturns/procedure/draw.py`: a report must show what the phone showed.
 * Words and tags are placed by search: as near as possible to what they name, over no wheel, belt, mark or other word.
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

export type Ink = 'ground' | 'plate' | 'ink' | 'act' | 'line' | 'none'
export interface Stroke { fill?: Ink; stroke?: Ink; width?: number; dash?: string; length?: number }
export type Shape =
  | ({ kind: 'circle'; cx: number; cy: number; r: number } & Stroke)
  | ({ kind: 'path'; d: string } & Stroke)
  | ({ kind: 'rect'; x: number; y: number; w: number; h: number; rx: number } & Stroke)
  | { kind: 'text'; x: number; y: number; size: number; fill: Ink; halo: boolean; text: string }

interface Circle { x: number; y: number; r: number }
interface Rect { x: number; y: number; w: number; h: number }

const MARGIN = 13 // px: a mark's outer line, and the thickest stroke
const LETTER = 12.4 // px: capitals at 19 px, weight 680, 80 % width, letter spacing included
const LINE = 20 // px: height kept free for a word of 19 px
const TAG_HEIGHT = 26
const DETAIL_FROM = 240 // px of box height: below it words would hide the drive
const SHRINK = [1, 0.94, 0.88, 0.82, 0.76] as const // make room for words that do not fit round it

/** One decimal of a px is below what a screen shows, and keeps both languages' texts equal. */
const n1 = (value: number) => String(r1(value))

const r1 = (value: number) => Math.round(value * 10) / 10 + 0

const rad = (mdeg: number) => (mdeg / 1000) * (Math.PI / 180)

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

const tagOf = (hole: DriveHole, view: DriveView) => view.tags?.[hole.pin] ?? hole.pin.toUpperCase().replaceAll('_', ' ')

const pinOf = (state: DriveState, wheel: string) => {
  const pin = state.pins?.[wheel]
  return pin === undefined ? false : pin
}

const inWords = (names: readonly string[]) => (names.length < 2 ? names.join() : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`)

const BELT_WORDS = { old: 'The old belt is on.', new: 'The new belt is on.', off: 'The belt is off.' } as const

/** The state and what to look at, in sentences: the drawing's name for whoever does not see it. */
export function driveInWords(drive: DriveBlock, state: DriveState, view: DriveView): string {
  const words = ['The drive, seen from the belt end.', BELT_WORDS[state.belt]]
  const say = (pin: boolean | null, one: string, many: string) => {
    const tags = drive.wheels.flatMap(({ id, hole }) => (hole && pinOf(state, id) === pin ? [tagOf(hole, view)] : []))
    if (tags.length) words.push(`${tags.length > 1 ? 'Pins' : 'Pin'} ${inWords(tags)} ${tags.length > 1 ? many : one}.`)
  }
  say(true, 'is in', 'are in')
  say(false, 'is out', 'are out')
  say(null, 'may be in or out', 'may be in or out')
  const label = (id: string) => (drive.wheels.find((wheel) => wheel.id === id)?.label ?? id).toLowerCase()
  if (state.gone?.length) words.push(`Off the engine: ${inWords(state.gone.map((id) => `the ${label(id)}`))}.`)
  const look = (view.look ?? []).flatMap((id) => {
    const wheel = drive.wheels.find((each) => each.id === id)
    const holed = drive.wheels.find((each) => each.hole?.pin === id)
    return wheel ? [`the ${label(id)}`] : holed?.hole ? [`pin ${tagOf(holed.hole, view)}`] : []
  })
  if (look.length) words.push(`Look at ${inWords(look)}.`)
  if (view.pluck) words.push(`Pluck the span from the ${label(drive.span.from)} to the ${label(drive.span.to)}.`)
  if (view.counts) for (const count of drive.counts) words.push(`${count.teeth} teeth from the mark of the ${label(count.from)} to that of the ${label(count.to)}.`)
  return words.join(' ')
}

/** The drive at one scale inside the box: turns micrometres into px. */
class Sheet {
  readonly k: number
  private readonly ox: number
  private readonly oy: number

  constructor(readonly drive: DriveBlock, readonly view: DriveView, shrink: number) {
    const edge = (wheel: DriveWheel) => wheel.r_um + (wheel.inside ? drive.belt.back_um : 0)
    const xs = drive.wheels.flatMap((wheel) => [wheel.x_um - edge(wheel), wheel.x_um + edge(wheel)])
    const ys = drive.wheels.flatMap((wheel) => [wheel.y_um - edge(wheel), wheel.y_um + edge(wheel)])
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

  /** Points along the straight spans, 6 px apart at most, from each wheel to the next. */
  spanPoints(): Point[] {
    const { path } = this.drive
    return path.flatMap((arc, i) => {
      const next = path[(i + 1) % path.length] as (typeof path)[number]
      const [[x1, y1], [x2, y2]] = [this.at(...arc.out), this.at(...next.in)]
      const steps = Math.max(1, Math.ceil(Math.hypot(x2 - x1, y2 - y1) / 6))
      return Array.from({ length: steps + 1 }, (_, s): Point => [x1 + ((x2 - x1) * s) / steps, y1 + ((y2 - y1) * s) / steps])
    })
  }
}

const isGone = (wheel: DriveWheel, state: DriveState) => state.gone?.includes(wheel.id) ?? false

function wheelShapes(sheet: Sheet, wheel: DriveWheel, state: DriveState): Shape[] {
  const [cx, cy] = sheet.at(wheel.x_um, wheel.y_um)
  const r = sheet.body(wheel)
  if (isGone(wheel, state)) {
    const arm = Math.max(3, 5000 * sheet.k)
    return [
      { kind: 'circle', cx, cy, r, stroke: 'line', width: 1.8, dash: '5 4' },
      { kind: 'path', d: `M${n1(cx - arm)} ${n1(cy)}H${n1(cx + arm)}M${n1(cx)} ${n1(cy - arm)}V${n1(cy + arm)}`, stroke: 'line', width: 1.8 },
    ]
  }
  if (wheel.teeth !== undefined || wheel.inside) {
    const tooth = Math.max(1.2, 3000 * sheet.k)
    const rim: Shape[] = wheel.teeth === undefined ? [] : [{ kind: 'circle', cx, cy, r, stroke: 'ink', width: tooth, dash: '1 1', length: 2 * wheel.teeth }]
    return [
      { kind: 'circle', cx, cy, r, fill: 'plate' },
      ...rim,
      { kind: 'circle', cx, cy, r: r - tooth / 2, stroke: 'ink', width: 1.4 },
      { kind: 'circle', cx, cy, r: Math.max(2.6, 7000 * sheet.k), fill: 'ground', stroke: 'ink', width: 1.4 },
      { kind: 'circle', cx, cy, r: 1.4, fill: 'ink' },
    ]
  }
  return [
    { kind: 'circle', cx, cy, r, fill: 'ground', stroke: 'ink', width: 1.8 },
    { kind: 'circle', cx, cy, r: r * 0.62, stroke: 'ink', width: 1 },
    ...(wheel.eccentric ? eccentricShapes(sheet, wheel, wheel.eccentric, r) : ([{ kind: 'circle', cx, cy, r: Math.max(2, 5000 * sheet.k), fill: 'ink' }] as const)),
  ]
}

/** The eccentric with its key on the stud; on the roller's face a notch, and the pointer in it. */
function eccentricShapes(sheet: Sheet, wheel: DriveWheel, eccentric: DriveEccentric, r: number): Shape[] {
  const [cx, cy] = sheet.at(wheel.x_um, wheel.y_um)
  const [sx, sy] = sheet.at(eccentric.x_um, eccentric.y_um)
  const hex = Array.from({ length: 6 }, (_, i): Point => [sx + Math.max(2.4, 5200 * sheet.k) * Math.cos((i * Math.PI) / 3), sy + Math.max(2.4, 5200 * sheet.k) * Math.sin((i * Math.PI) / 3)])
  const ray = (mdeg: number, from: number, to: number) => {
    const [dx, dy] = [Math.cos(rad(mdeg)), -Math.sin(rad(mdeg))]
    return `M${n1(cx + r * from * dx)} ${n1(cy + r * from * dy)}L${n1(cx + r * to * dx)} ${n1(cy + r * to * dy)}`
  }
  return [
    { kind: 'circle', cx, cy, r: r * 0.46, fill: 'plate', stroke: 'ink', width: 1 },
    { kind: 'path', d: `M${hex.map(([x, y]) => `${n1(x)} ${n1(y)}`).join('L')}Z`, fill: 'ink' },
    { kind: 'path', d: ray(eccentric.notch_mdeg - 24_000, 0.66, 0.92) + ray(eccentric.notch_mdeg + 24_000, 0.66, 0.92), stroke: 'ink', width: 1.6 },
    { kind: 'path', d: ray(eccentric.pointer_mdeg, 0.46, 0.88), stroke: 'ink', width: 2.2 },
  ]
}

/** New: one solid line. Old: hollow, a belt that is on its way out. */
function beltShapes(sheet: Sheet, state: DriveState): Shape[] {
  if (state.belt === 'off') return []
  const { teeth, pitch_um: pitch, back_um: back } = sheet.drive.belt
  const thick = Math.max(2.6, 2.4 * back * sheet.k)
  const inner: Shape[] =
    teeth === undefined || pitch === undefined
      ? [{ kind: 'path', d: sheet.path(-back), stroke: 'ink', width: 1 }]
      : [{ kind: 'path', d: sheet.path(-0.294 * pitch), stroke: 'ink', width: Math.max(1.5, 0.5 * pitch * sheet.k), dash: '1.04 0.96', length: 2 * teeth }]
  const line = sheet.path(0.3 * back)
  const hollow: Shape[] = state.belt === 'old' ? [{ kind: 'path', d: line, stroke: 'ground', width: thick - 1.4 }] : []
  return [...inner, { kind: 'path', d: line, stroke: 'ink', width: state.belt === 'old' ? thick + 1.2 : thick }, ...hollow]
}

/** One line on the wheel, one on the engine: at top dead centre they are one. */
function markShapes(sheet: Sheet, wheel: DriveWheel, state: DriveState): Shape[] {
  if (wheel.mark_mdeg === undefined || isGone(wheel, state)) return []
  const [cx, cy] = sheet.at(wheel.x_um, wheel.y_um)
  const [dx, dy] = [Math.cos(rad(wheel.mark_mdeg)), -Math.sin(rad(wheel.mark_mdeg))]
  const r = sheet.k * wheel.r_um
  const line = (from: number, to: number) => `M${n1(cx + (r + from) * dx)} ${n1(cy + (r + from) * dy)}L${n1(cx + (r + to) * dx)} ${n1(cy + (r + to) * dy)}`
  const short = Math.min(1, r / 18)
  return [{ kind: 'path', d: line(-9.6 * short, -3.6 * short) + line(3.4, 10), stroke: 'ink', width: 2.6 }]
}

/** The running arrow, on the largest wheel, on the side that has no hole. */
function arrowShapes(sheet: Sheet, state: DriveState): Shape[] {
  const wheels = sheet.drive.wheels.filter((wheel) => wheel.inside && !isGone(wheel, state))
  const wheel = wheels.reduce<DriveWheel | undefined>((most, each) => (most && most.r_um >= each.r_um ? most : each), undefined)
  if (!wheel) return []
  const [cx, cy] = sheet.at(wheel.x_um, wheel.y_um)
  const r = sheet.body(wheel) * 0.47
  const turn = sheet.drive.running === 'clockwise' ? 1 : -1
  const middle = wheel.hole ? Math.atan2(wheel.hole.y_um - wheel.y_um, wheel.x_um - wheel.hole.x_um) : -Math.PI / 2
  const [from, to] = [middle - turn * 0.87, middle + turn * 0.68]
  const head = Math.max(4.5, r * 0.45)
  const on = (angle: number, radius: number): Point => [cx + radius * Math.cos(angle), cy + radius * Math.sin(angle)]
  const along = (angle: number, step: number): Point => [cx + r * Math.cos(angle) - turn * step * Math.sin(angle), cy + r * Math.sin(angle) + turn * step * Math.cos(angle)]
  const [[x1, y1], [x2, y2], [ix, iy], [ax, ay], [tx, ty]] = [on(from, r), on(to, r), on(to, r - head * 0.6), on(to, r + head * 0.6), along(to, head)]
  return [
    { kind: 'path', d: `M${n1(x1)} ${n1(y1)}A${n1(r)} ${n1(r)} 0 0 ${turn === 1 ? 1 : 0} ${n1(x2)} ${n1(y2)}`, stroke: 'ink', width: 2.4 },
    { kind: 'path', d: `M${n1(ix)} ${n1(iy)}L${n1(ax)} ${n1(ay)}L${n1(tx)} ${n1(ty)}Z`, fill: 'ink' },
  ]
}

/** The span to pluck, at the two ends of its swing and between. */
function pluckShapes(sheet: Sheet): Shape[] {
  const { path, span } = sheet.drive
  const i = path.findIndex((arc) => arc.wheel === span.from)
  const [start, next] = [path[i], path[(i + 1) % path.length]]
  if (!start || !next) return []
  const [[x1, y1], [x2, y2]] = [sheet.at(...start.out), sheet.at(...next.in)]
  const length = Math.hypot(x2 - x1, y2 - y1)
  const bow = (part: number) => {
    const [mx, my] = [(x1 + x2) / 2 + part * (y2 - y1), (y1 + y2) / 2 - part * (x2 - x1)]
    return `M${n1(x1)} ${n1(y1)}Q${n1(mx)} ${n1(my)} ${n1(x2)} ${n1(y2)}`
  }
  const swing = Math.min(0.28, 22 / length)
  return [
    { kind: 'path', d: bow(0.4 * swing) + bow(-0.4 * swing), stroke: 'act', width: 1.4 },
    { kind: 'path', d: bow(swing) + bow(-swing), stroke: 'act', width: 2.6 },
  ]
}

interface Placed { pin: DriveWheel; tag: Rect }
interface Word { wheel: DriveWheel; text: string; box: Rect }

/** What words must keep clear of. */
class Floor {
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

const ringRadius = (sheet: Sheet, wheel: DriveWheel) => sheet.k * wheel.r_um + 9

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

function placeTags(sheet: Sheet, state: DriveState, floor: Floor): { placed: Placed[]; missed: number } {
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

function placeWords(sheet: Sheet, floor: Floor): { words: Word[]; missed: number } {
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

/** In: a crossed disc. Out: a dashed hole. Not known: a dashed hole that asks. To look at: the tag has a frame. */
function pinShapes(sheet: Sheet, state: DriveState, tags: readonly Placed[]): Shape[] {
  const small = sheet.view.height < DETAIL_FROM
  const r = small ? 4.8 : 6.8
  return sheet.drive.wheels.flatMap((wheel): Shape[] => {
    const { hole } = wheel
    if (!hole || isGone(wheel, state)) return []
    const [cx, cy] = sheet.at(hole.x_um, hole.y_um)
    const pin = pinOf(state, wheel.id)
    const ink: Ink = sheet.view.look?.includes(hole.pin) ? 'act' : 'ink'
    const tag = tagShapes(sheet, hole, tags.find((each) => each.pin.id === wheel.id)?.tag, pin, ink)
    if (!pin) {
      const empty: Shape = { kind: 'circle', cx, cy, r: pin === null ? r + 1.5 : r, fill: 'ground', stroke: ink, width: ink === 'act' ? 2.6 : 1.8, dash: '3 2.4' }
      return [...tag, empty, ...(pin === null ? [{ kind: 'text', x: cx, y: cy + 4.6, size: 13, fill: ink, halo: false, text: '?' } as const] : [])]
    }
    const a = r / 2
    return [
      ...tag,
      { kind: 'circle', cx, cy, r, fill: ink, stroke: 'ground', width: small ? 1.2 : 2.4 },
      { kind: 'path', d: `M${n1(cx - a)} ${n1(cy - a)}L${n1(cx + a)} ${n1(cy + a)}M${n1(cx + a)} ${n1(cy - a)}L${n1(cx - a)} ${n1(cy + a)}`, stroke: 'ground', width: small ? 1.5 : 2.2 },
    ]
  })
}

/** A pin that is in has its name stamped on a solid tag; an empty tag names the place it belongs to. */
function tagShapes(sheet: Sheet, hole: DriveHole, box: Rect | undefined, pin: boolean | null, ink: Ink): Shape[] {
  if (!box) return []
  const { x, y, w, h } = box
  const [px, py] = sheet.at(hole.x_um, hole.y_um)
  const frame: Shape[] = ink === 'act' ? [{ kind: 'rect', x: x - 4, y: y - 4, w: w + 8, h: h + 8, rx: 4, fill: 'ground', stroke: 'act', width: 2.6 }] : []
  return [
    { kind: 'path', d: `M${n1(px)} ${n1(py)}L${n1(x + w / 2)} ${n1(y + h / 2)}`, stroke: ink, width: ink === 'act' ? 3.6 : 2.2 },
    ...frame,
    ...(pin ? [{ kind: 'rect', x, y, w, h, rx: 2, fill: ink } as const] : []),
    { kind: 'text', x: x + w / 2, y: y + h / 2 + 6.6, size: 19, fill: pin ? 'ground' : ink, halo: false, text: tagOf(hole, sheet.view) },
  ]
}

/** Middle and radius of the first looked-at thing's ring: a wheel, or the pin in its hole. */
function firstLooked(sheet: Sheet): Circle | null {
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

function lookShapes(sheet: Sheet): Shape[] {
  const rings = sheet.drive.wheels
    .filter((wheel) => sheet.view.look?.includes(wheel.id))
    .map((wheel): Shape => {
      const [cx, cy] = sheet.at(wheel.x_um, wheel.y_um)
      return { kind: 'circle', cx, cy, r: ringRadius(sheet, wheel), stroke: 'act', width: 4.5 }
    })
  const [end, from] = [sheet.view.leaderTo, firstLooked(sheet)]
  if (!end || !from) return rings
  const far = Math.hypot(end[0] - from.x, end[1] - from.y)
  const [x, y] = [from.x + ((end[0] - from.x) * from.r) / far, from.y + ((end[1] - from.y) * from.r) / far]
  return [...rings, { kind: 'path', d: `M${n1(x)} ${n1(y)}L${n1(end[0])} ${n1(end[1])}`, stroke: 'act', width: 3 }]
}

function rounded(shape: Shape): Shape {
  if (shape.kind === 'path') return shape
  if (shape.kind === 'circle') return { ...shape, cx: r1(shape.cx), cy: r1(shape.cy), r: r1(shape.r) }
  if (shape.kind === 'rect') return { ...shape, x: r1(shape.x), y: r1(shape.y), w: r1(shape.w), h: r1(shape.h) }
  return { ...shape, x: r1(shape.x), y: r1(shape.y) }
}

/** All shapes, back to front. The drive is drawn smaller until every word has found its place. */
export function driveShapes(drive: DriveBlock, state: DriveState, view: DriveView): Shape[] {
  let best: { sheet: Sheet; tags: Placed[]; words: Word[]; missed: number } | null = null
  for (const shrink of SHRINK) {
    const sheet = new Sheet(drive, view, shrink)
    const floor = new Floor(sheet, state)
    const tags = placeTags(sheet, state, floor)
    const words = placeWords(sheet, floor)
    const missed = tags.missed + words.missed
    if (best === null || missed < best.missed) best = { sheet, tags: tags.placed, words: words.words, missed }
    if (missed === 0) break
  }
  const { sheet, tags, words } = best as NonNullable<typeof best>
  const shapes: Shape[] = [
    ...drive.wheels.flatMap((wheel) => wheelShapes(sheet, wheel, state)),
    ...lookShapes(sheet),
    ...beltShapes(sheet, state),
    ...(view.pluck && state.belt !== 'off' ? pluckShapes(sheet) : []),
    ...drive.wheels.flatMap((wheel) => markShapes(sheet, wheel, state)),
    ...arrowShapes(sheet, state),
    ...pinShapes(sheet, state, tags),
    ...words.map(({ wheel, text, box }): Shape => {
      const looked = view.look?.includes(wheel.id) ?? false
      return { kind: 'text', x: box.x + box.w / 2, y: box.y + box.h / 2 + 6.6, size: 19, fill: looked ? 'act' : 'ink', halo: true, text }
    }),
  ]
  return shapes.map(rounded)
}
