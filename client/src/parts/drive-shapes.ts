/**
 * The drive as a list of plain shapes in px: wheels to scale, belt, marks, pins, words.
 * Pure: the tests in Python look at the list (`tests/server/procedure/drive/test_draw.py`).
 */
import type { DriveBlock, DriveWheel } from '../procedure/bundle'
import {
  Floor,
  placeLoupe,
  placeNumbers,
  placeSides,
  placeTags,
  placeWords,
  type Placed,
  type Word,
} from './drive-places'
import { loupeShapes } from './drive-loupe'
import {
  BADGE,
  LOUPES,
  SHRINK,
  SMALL_PIN,
  Sheet,
  between,
  n1,
  pinOf,
  r1,
  rad,
  tagOf,
  type Circle,
  type DriveEccentric,
  type DriveHole,
  type DriveState,
  type DriveView,
  type Ink,
  type Point,
  type Rect,
  type Shape,
  type Span,
} from './drive-sheet'
import { isArm } from './drive-sides'

function wheelShapes(sheet: Sheet, wheel: DriveWheel): Shape[] {
  const [cx, cy] = sheet.at(wheel.x_um, wheel.y_um)
  const r = sheet.body(wheel)
  if (sheet.isGone(wheel)) {
    const arm = Math.max(3, 5000 * sheet.k)
    return [
      { kind: 'circle', cx, cy, r, stroke: 'line', width: 1.8, dash: '5 4' },
      {
        kind: 'path',
        d: `M${n1(cx - arm)} ${n1(cy)}H${n1(cx + arm)}M${n1(cx)} ${n1(cy - arm)}V${n1(cy + arm)}`,
        stroke: 'line',
        width: 1.8,
      },
    ]
  }
  if (wheel.teeth !== undefined || wheel.inside) {
    const tooth = Math.max(1.2, 3000 * sheet.k)
    const rim: Shape[] =
      wheel.teeth === undefined
        ? []
        : [{ kind: 'circle', cx, cy, r, stroke: 'ink', width: tooth, dash: '1 1', length: 2 * wheel.teeth }]
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
    ...(wheel.eccentric
      ? eccentricShapes(sheet, wheel, wheel.eccentric, r)
      : ([{ kind: 'circle', cx, cy, r: Math.max(2, 5000 * sheet.k), fill: 'ink' }] as const)),
  ]
}

/** The eccentric with its key on the stud; on the roller's face a notch, and the pointer in it. Or a swinging arm to a stud outside the roller. */
function eccentricShapes(sheet: Sheet, wheel: DriveWheel, eccentric: DriveEccentric, r: number): Shape[] {
  const [cx, cy] = sheet.at(wheel.x_um, wheel.y_um)
  const [sx, sy] = sheet.at(eccentric.x_um, eccentric.y_um)
  const hex = Array.from(
    { length: 6 },
    (_, i): Point => [
      sx + Math.max(2.4, 5200 * sheet.k) * Math.cos((i * Math.PI) / 3),
      sy + Math.max(2.4, 5200 * sheet.k) * Math.sin((i * Math.PI) / 3),
    ],
  )
  const key: Shape = {
    kind: 'path',
    d: `M${hex.map(([x, y]) => `${n1(x)} ${n1(y)}`).join('L')}Z`,
    fill: 'ink',
  }
  if (isArm(wheel)) {
    return [
      {
        kind: 'path',
        d: `M${n1(sx)} ${n1(sy)}L${n1(cx)} ${n1(cy)}`,
        stroke: 'ink',
        width: Math.max(2.6, 5000 * sheet.k),
      },
      { kind: 'circle', cx, cy, r: Math.max(2, 5000 * sheet.k), fill: 'ink' },
      key,
    ]
  }
  const ray = (mdeg: number, from: number, to: number) => {
    const [dx, dy] = [Math.cos(rad(mdeg)), -Math.sin(rad(mdeg))]
    return `M${n1(cx + r * from * dx)} ${n1(cy + r * from * dy)}L${n1(cx + r * to * dx)} ${n1(cy + r * to * dy)}`
  }
  return [
    { kind: 'circle', cx, cy, r: r * 0.46, fill: 'plate', stroke: 'ink', width: 1 },
    key,
    {
      kind: 'path',
      d: ray(eccentric.notch_mdeg - 24_000, 0.66, 0.92) + ray(eccentric.notch_mdeg + 24_000, 0.66, 0.92),
      stroke: 'ink',
      width: 1.6,
    },
    { kind: 'path', d: ray(eccentric.pointer_mdeg, 0.46, 0.88), stroke: 'ink', width: 2.2 },
  ]
}

/** New: one solid line, thin on the slack side, thick where it pulls. Old: hollow, a belt that is on its way out. */
function beltShapes(sheet: Sheet): Shape[] {
  const { belt } = sheet.state
  if (belt === 'off') return sheet.view.fitting ? comingBeltShapes(sheet) : []
  const { teeth, pitch_um: pitch, back_um: back } = sheet.drive.belt
  const thick = Math.max(2.6, 2.4 * back * sheet.k)
  const inner: Shape =
    teeth === undefined || pitch === undefined
      ? { kind: 'path', d: sheet.path(-back), stroke: 'ink', width: 1 }
      : {
          kind: 'path',
          d: sheet.path(-0.294 * pitch),
          stroke: 'ink',
          width: Math.max(1.5, 0.5 * pitch * sheet.k),
          dash: '1.04 0.96',
          length: 2 * teeth,
        }
  if (belt === 'old') {
    const d = sheet.path(0.3 * back)
    return [
      inner,
      { kind: 'path', d, stroke: 'ink', width: thick + 1.2 },
      { kind: 'path', d, stroke: 'ground', width: thick - 1.4 },
    ]
  }
  const { slack, tight } = sheet.sides(0.3 * back)
  return [
    inner,
    { kind: 'path', d: slack, stroke: 'ink', width: 0.55 * thick },
    { kind: 'path', d: tight, stroke: 'ink', width: thick + 0.8 },
  ]
}

/** Where the belt goes on: dashes, short and light where it will be slack. */
function comingBeltShapes(sheet: Sheet): Shape[] {
  const { slack, tight } = sheet.sides(0)
  return [
    { kind: 'path', d: slack, stroke: 'act', width: 2.4, dash: '2.4 3.6' },
    { kind: 'path', d: tight, stroke: 'act', width: 3.6, dash: '8 3' },
  ]
}

/** One line on the wheel, one on the engine: at top dead centre they are one. */
function markShapes(sheet: Sheet, wheel: DriveWheel): Shape[] {
  if (wheel.mark_mdeg === undefined || sheet.isGone(wheel)) return []
  const [cx, cy] = sheet.at(wheel.x_um, wheel.y_um)
  const [dx, dy] = [Math.cos(rad(wheel.mark_mdeg)), -Math.sin(rad(wheel.mark_mdeg))]
  const r = sheet.k * wheel.r_um
  const line = (from: number, to: number) =>
    `M${n1(cx + (r + from) * dx)} ${n1(cy + (r + from) * dy)}L${n1(cx + (r + to) * dx)} ${n1(cy + (r + to) * dy)}`
  const short = Math.min(1, r / 18)
  return [{ kind: 'path', d: line(-9.6 * short, -3.6 * short) + line(3.4, 10), stroke: 'ink', width: 2.6 }]
}

/** The running arrow, on the largest wheel, on the side that has no hole; on the belt where the wheels have numbers. */
function arrowShapes(sheet: Sheet): Shape[] {
  if (sheet.view.fitting) return sheet.sideSpans().map(({ spans }) => headShape(...spans[0]!))
  const wheels = sheet.drive.wheels.filter(
    (wheel) =>
      wheel.inside && !sheet.isGone(wheel) && !sheet.view.bolts?.some(({ wheel: id }) => id === wheel.id),
  )
  const wheel = wheels.reduce<DriveWheel | undefined>(
    (most, each) => (most && most.r_um >= each.r_um ? most : each),
    undefined,
  )
  if (!wheel) return []
  const [cx, cy] = sheet.at(wheel.x_um, wheel.y_um)
  const r = sheet.body(wheel) * 0.47
  const turn = sheet.drive.running === 'clockwise' ? 1 : -1
  const middle = wheel.hole
    ? Math.atan2(wheel.hole.y_um - wheel.y_um, wheel.x_um - wheel.hole.x_um)
    : -Math.PI / 2
  const [from, to] = [middle - turn * 0.87, middle + turn * 0.68]
  const head = Math.max(4.5, r * 0.45)
  const on = (angle: number, radius: number): Point => [
    cx + radius * Math.cos(angle),
    cy + radius * Math.sin(angle),
  ]
  const along = (angle: number, step: number): Point => [
    cx + r * Math.cos(angle) - turn * step * Math.sin(angle),
    cy + r * Math.sin(angle) + turn * step * Math.cos(angle),
  ]
  const [[x1, y1], [x2, y2], [ix, iy], [ax, ay], [tx, ty]] = [
    on(from, r),
    on(to, r),
    on(to, r - head * 0.6),
    on(to, r + head * 0.6),
    along(to, head),
  ]
  return [
    {
      kind: 'path',
      d: `M${n1(x1)} ${n1(y1)}A${n1(r)} ${n1(r)} 0 0 ${turn === 1 ? 1 : 0} ${n1(x2)} ${n1(y2)}`,
      stroke: 'ink',
      width: 2.4,
    },
    { kind: 'path', d: `M${n1(ix)} ${n1(iy)}L${n1(ax)} ${n1(ay)}L${n1(tx)} ${n1(ty)}Z`, fill: 'ink' },
  ]
}

/** The running direction, in the middle of a span. */
function headShape(...[start, end]: Span): Shape {
  const [x, y] = between(start, end)
  const far = Math.hypot(end[0] - start[0], end[1] - start[1])
  const [dx, dy] = [(end[0] - start[0]) / far, (end[1] - start[1]) / far]
  const on = (along: number, across: number) =>
    `${n1(x + along * dx - across * dy)} ${n1(y + along * dy + across * dx)}`
  return {
    kind: 'path',
    d: `M${on(-6, 7)}L${on(-6, -7)}L${on(8, 0)}Z`,
    fill: 'ink',
    stroke: 'ground',
    width: 1.5,
  }
}

/** The span to pluck, at the two ends of its swing and between. */
function pluckShapes(sheet: Sheet): Shape[] {
  if (!sheet.view.pluck || sheet.state.belt === 'off') return []
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
function pinShapes(sheet: Sheet, tags: readonly Placed[]): Shape[] {
  if (!sheet.hasPins) return []
  const small = sheet.isSmall || sheet.view.fitting
  const r = small ? SMALL_PIN : 6.8
  return sheet.drive.wheels.flatMap((wheel): Shape[] => {
    const { hole } = wheel
    if (!hole || sheet.isGone(wheel)) return []
    const [cx, cy] = sheet.at(hole.x_um, hole.y_um)
    const pin = pinOf(sheet.state, wheel.id)
    const ink: Ink = sheet.isLooked(hole.pin) ? 'act' : 'ink'
    const tag = tagShapes(sheet, hole, tags.find((each) => each.pin.id === wheel.id)?.tag, pin, ink)
    if (!pin) {
      const empty: Shape = {
        kind: 'circle',
        cx,
        cy,
        r: pin === null ? r + 1.5 : r,
        fill: 'ground',
        stroke: ink,
        width: ink === 'act' ? 2.6 : 1.8,
        dash: '3 2.4',
      }
      return [
        ...tag,
        empty,
        ...(pin === null
          ? [{ kind: 'text', x: cx, y: cy + 4.6, size: 13, fill: ink, halo: false, text: '?' } as const]
          : []),
      ]
    }
    const a = r / 2
    return [
      ...tag,
      { kind: 'circle', cx, cy, r, fill: ink, stroke: 'ground', width: small ? 1.2 : 2.4 },
      {
        kind: 'path',
        d: `M${n1(cx - a)} ${n1(cy - a)}L${n1(cx + a)} ${n1(cy + a)}M${n1(cx + a)} ${n1(cy - a)}L${n1(cx - a)} ${n1(cy + a)}`,
        stroke: 'ground',
        width: small ? 1.5 : 2.2,
      },
    ]
  })
}

/** A pin that is in has its name stamped on a solid tag; an empty tag names the place it belongs to. */
function tagShapes(
  sheet: Sheet,
  hole: DriveHole,
  box: Rect | undefined,
  pin: boolean | null,
  ink: Ink,
): Shape[] {
  if (!box) return []
  const { x, y, w, h } = box
  const [px, py] = sheet.at(hole.x_um, hole.y_um)
  const frame: Shape[] =
    ink === 'act'
      ? [
          {
            kind: 'rect',
            x: x - 4,
            y: y - 4,
            w: w + 8,
            h: h + 8,
            rx: 4,
            fill: 'ground',
            stroke: 'act',
            width: 2.6,
          },
        ]
      : []
  return [
    {
      kind: 'path',
      d: `M${n1(px)} ${n1(py)}L${n1(x + w / 2)} ${n1(y + h / 2)}`,
      stroke: ink,
      width: ink === 'act' ? 3.6 : 2.2,
    },
    ...frame,
    ...(pin ? [{ kind: 'rect', x, y, w, h, rx: 2, fill: ink } as const] : []),
    {
      kind: 'text',
      x: x + w / 2,
      y: y + h / 2 + 6.6,
      size: 19,
      fill: pin ? 'ground' : ink,
      halo: false,
      text: tagOf(hole, sheet.view),
    },
  ]
}

function lookShapes(sheet: Sheet): Shape[] {
  if (!sheet.hasRings) return []
  return sheet.drive.wheels
    .filter(({ id }) => sheet.isLooked(id))
    .map((wheel): Shape => {
      const [cx, cy] = sheet.middle(wheel)
      return { kind: 'circle', cx, cy, r: sheet.ring(wheel), stroke: 'act', width: 4.5 }
    })
}

/** The order in which bolts are tightened: a solid disc with its number where each stands, clear of the pin's hole. */
function boltShapes(sheet: Sheet): Shape[] {
  const bolts = sheet.boltPlaces()
  return bolts.flatMap(([x, y], i): Shape[] => [
    { kind: 'circle', cx: x, cy: y, r: BADGE, fill: 'act', stroke: 'ground', width: 1.5 },
    { kind: 'text', x, y: y + 6.65, size: 19, fill: 'ground', halo: false, text: String(i + 1) },
  ])
}

/** The fitting order: a solid disc with its number at each wheel. */
function numberShapes(sheet: Sheet, numbers: ReadonlyMap<string, Point>): Shape[] {
  return sheet.drive.order.flatMap((wheel, i): Shape[] => {
    const spot = numbers.get(wheel)
    if (!spot) return []
    const [[x, y], size] = [spot, i < 9 ? 19 : 14]
    return [
      { kind: 'circle', cx: x, cy: y, r: BADGE, fill: 'act', stroke: 'ground', width: 1.5 },
      { kind: 'text', x, y: y + 0.35 * size, size, fill: 'ground', halo: false, text: String(i + 1) },
    ]
  })
}

function wordShape(sheet: Sheet, { wheel, text, box }: Word): Shape {
  const looked = wheel !== null && sheet.isLooked(wheel.id) && !sheet.view.fitting
  return {
    kind: 'text',
    x: box.x + box.w / 2,
    y: box.y + box.h / 2 + 6.6,
    size: 19,
    fill: looked ? 'act' : 'ink',
    halo: true,
    text,
  }
}

function rounded(shape: Shape): Shape {
  if (shape.kind === 'path') return shape
  if (shape.kind === 'circle') return { ...shape, cx: r1(shape.cx), cy: r1(shape.cy), r: r1(shape.r) }
  if (shape.kind === 'rect')
    return { ...shape, x: r1(shape.x), y: r1(shape.y), w: r1(shape.w), h: r1(shape.h) }
  return { ...shape, x: r1(shape.x), y: r1(shape.y) }
}

interface Layout {
  sheet: Sheet
  numbers: ReadonlyMap<string, Point>
  loupe: Circle | null
  tags: readonly Placed[]
  words: readonly Word[]
  /** How many things found no place. */
  missed: number
}

/** The drive at one scale, with a place for all that goes with it. */
function laidOut(sheet: Sheet, loupeRadius: number): Layout {
  const floor = new Floor(sheet)
  const { numbers, missed } = sheet.view.fitting
    ? placeNumbers(sheet, floor)
    : { numbers: new Map<string, Point>(), missed: 0 }
  const loupe = sheet.hasLoupe ? placeLoupe(sheet, floor, loupeRadius) : null
  const sides = sheet.view.fitting ? placeSides(sheet, floor) : { words: [], missed: 0 }
  const tags = placeTags(sheet, floor)
  const words = placeWords(sheet, floor)
  const noLoupe = sheet.hasLoupe && loupe === null ? 1 : 0
  return {
    sheet,
    numbers,
    loupe,
    tags: tags.placed,
    words: [...sides.words, ...words.words],
    missed: missed + noLoupe + sides.missed + tags.missed + words.missed,
  }
}

/** Where a drive whose pins are looked for stands in its box: in the middle, or at an end, so that a tag fits at the other. */
const ABOVES = [0.5, 0]
/** For a word that stands, but not whole, the drive is drawn no smaller than this. */
const SMALL_ENOUGH = 0.88

/** The largest drive, under the largest loupe, that leaves a place for everything. */
function bestLayout(drive: DriveBlock, state: DriveState, view: DriveView): Layout {
  const inTheMiddle = new Sheet(drive, state, view, SHRINK[0])
  let [loupes, asides]: (readonly number[])[] = [LOUPES.slice(0, 1), [0.5, 1, 0]]
  if (inTheMiddle.hasLoupe) {
    // Beside the drive, where its tensioner is.
    const isLeft = inTheMiddle.middle(inTheMiddle.tensioner)[0] < view.width / 2
    ;[loupes, asides] = [LOUPES, isLeft ? [1, 0.6] : [0, 0.4]]
  }
  const isForPins = drive.wheels.some(({ hole }) => hole && inTheMiddle.isLooked(hole.pin))
  const aboves = isForPins ? ABOVES : ABOVES.slice(0, 1)
  const tries = loupes!.flatMap((radius) =>
    SHRINK.flatMap((shrink) =>
      asides!.flatMap((aside) => aboves.map((above) => ({ radius, shrink, aside, above }))),
    ),
  )
  let best: Layout | null = null
  for (const { radius, shrink, aside, above } of tries) {
    const layout = laidOut(new Sheet(drive, state, view, shrink, aside, above), radius)
    if (best === null || layout.missed < best.missed) best = layout
    if (best.missed === 0 || (best.missed < 1 && shrink <= SMALL_ENOUGH)) break
  }
  return best!
}

/** All shapes, back to front. The drive is drawn smaller until everything has its place. */
export function driveShapes(drive: DriveBlock, state: DriveState, view: DriveView): Shape[] {
  const { sheet, numbers, loupe, tags, words } = bestLayout(drive, state, view)
  const shapes: Shape[] = [
    ...drive.wheels.flatMap((wheel) => wheelShapes(sheet, wheel)),
    ...lookShapes(sheet),
    ...beltShapes(sheet),
    ...pluckShapes(sheet),
    ...drive.wheels.flatMap((wheel) => markShapes(sheet, wheel)),
    ...arrowShapes(sheet),
    ...pinShapes(sheet, tags),
    ...numberShapes(sheet, numbers),
    ...boltShapes(sheet),
    ...(loupe ? loupeShapes(sheet, loupe) : []),
    ...words.map((word) => wordShape(sheet, word)),
  ]
  return shapes.map(rounded)
}
