/**
 * The drive as a list of plain shapes in px: wheels to scale, belt, marks, pins, words.
 * Pure, and the same rule for rule as `server/twoturns/procedure/draw.py`: a report must show what the phone showed.
 */
import {
  SHRINK,
  DETAIL_FROM,
  Floor,
  Sheet,
  firstLooked,
  isGone,
  n1,
  pinOf,
  placeTags,
  placeWords,
  r1,
  rad,
  ringRadius,
  tagOf,
  type DriveBlock,
  type DriveEccentric,
  type DriveHole,
  type DriveState,
  type DriveView,
  type DriveWheel,
  type Placed,
  type Point,
  type Rect,
  type Word,
} from './drive-sheet'

export type Ink = 'ground' | 'plate' | 'ink' | 'act' | 'line' | 'none'
export interface Stroke { fill?: Ink; stroke?: Ink; width?: number; dash?: string; length?: number }
export type Shape =
  | ({ kind: 'circle'; cx: number; cy: number; r: number } & Stroke)
  | ({ kind: 'path'; d: string } & Stroke)
  | ({ kind: 'rect'; x: number; y: number; w: number; h: number; rx: number } & Stroke)
  | { kind: 'text'; x: number; y: number; size: number; fill: Ink; halo: boolean; text: string }

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

/** The eccentric with its key on the stud; on the roller's face a notch, and the pointer in it. Or a swinging arm to a stud outside the roller. */
function eccentricShapes(sheet: Sheet, wheel: DriveWheel, eccentric: DriveEccentric, r: number): Shape[] {
  const [cx, cy] = sheet.at(wheel.x_um, wheel.y_um)
  const [sx, sy] = sheet.at(eccentric.x_um, eccentric.y_um)
  const hex = Array.from({ length: 6 }, (_, i): Point => [sx + Math.max(2.4, 5200 * sheet.k) * Math.cos((i * Math.PI) / 3), sy + Math.max(2.4, 5200 * sheet.k) * Math.sin((i * Math.PI) / 3)])
  const key: Shape = { kind: 'path', d: `M${hex.map(([x, y]) => `${n1(x)} ${n1(y)}`).join('L')}Z`, fill: 'ink' }
  if (Math.hypot(sx - cx, sy - cy) > r) {
    return [{ kind: 'path', d: `M${n1(sx)} ${n1(sy)}L${n1(cx)} ${n1(cy)}`, stroke: 'ink', width: Math.max(2.6, 5000 * sheet.k) }, { kind: 'circle', cx, cy, r: Math.max(2, 5000 * sheet.k), fill: 'ink' }, key]
  }
  const ray = (mdeg: number, from: number, to: number) => {
    const [dx, dy] = [Math.cos(rad(mdeg)), -Math.sin(rad(mdeg))]
    return `M${n1(cx + r * from * dx)} ${n1(cy + r * from * dy)}L${n1(cx + r * to * dx)} ${n1(cy + r * to * dy)}`
  }
  return [
    { kind: 'circle', cx, cy, r: r * 0.46, fill: 'plate', stroke: 'ink', width: 1 },
    key,
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
