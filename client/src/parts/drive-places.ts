/**
 * Where words, tags, numbers and the loupe find room: over no wheel, belt, mark or other word.
 * Each is placed by search, as near as possible to what it names.
 */
import type { DriveWheel } from '../procedure/bundle'
import {
  BADGE,
  SIDES,
  SMALL_PIN,
  between,
  hoursOf,
  pinOf,
  pointsBetween,
  rad,
  tagOf,
  type Circle,
  type Point,
  type Rect,
  type Sheet,
} from './drive-sheet'

const LETTER = 12.4 // px: capitals at 19 px, weight 680, 80 % width, letter spacing included
const LOWER = 9.5 // px: the same for small letters
const LINE = 20 // px: height kept free for a word of 19 px
const TAG_HEIGHT = 26
const LESS = 0.1 // of what found no place: a word that stands, but not whole
const OVER_THE_BELT = 60 // px of leader: what one costs that leads out of the loop
const TAG_GAPS = [8, 13, 18, 24, 30, 38, 46, 56, 68, 82, 98]
const SWING = 16 // px kept free beside a span that is plucked
const LEADER_NEAR = 3 // px: so far into what is kept clear round a thing a leader may reach
const LEADER = 12 // px: a loupe's leader is at least so long
export const LOUPE_WORD = 'TIGHTER'
const ANGLES = Array.from({ length: 48 }, (_, i) => (i * Math.PI) / 24)

interface Candidate {
  box: Rect
  cost: number
  /** Of the line to what it names; absent where none is drawn. */
  leader?: () => readonly Point[]
}
export interface Placed {
  pin: DriveWheel
  tag: Rect
}
/** A label in the box that was found for it; a side of the belt has no wheel. */
export interface Word {
  wheel: DriveWheel | null
  text: string
  box: Rect
}

const circle = ([x, y]: Point, r: number): Circle => ({ x, y, r })

/** What words must keep clear of. */
export class Floor {
  readonly taken: Rect[] = []
  private readonly circles: Circle[] = []
  private readonly loop: Point[]

  constructor(private readonly sheet: Sheet) {
    const { drive, state, view } = sheet
    for (const wheel of drive.wheels) {
      const [x, y] = sheet.middle(wheel)
      this.keep({ x, y, r: sheet.edge(wheel) })
      if (wheel.mark_mdeg === undefined) continue
      const out = sheet.k * wheel.r_um + 7
      this.keep({
        x: x + out * Math.cos(rad(wheel.mark_mdeg)),
        y: y - out * Math.sin(rad(wheel.mark_mdeg)),
        r: 6,
      })
    }
    this.loop = drive.path.flatMap((arc) => [sheet.at(...arc.in), sheet.at(...arc.out)])
    if (sheet.hasBelt) this.keep(...sheet.spanPoints().map((point) => circle(point, 6)))
    if (view.fitting) this.keep(...sheet.sideSpans().map(({ spans }) => circle(between(...spans[0]!), 11)))
    if (state.belt !== 'off' && view.pluck)
      this.keep(...sheet.spanPoints(drive.span.from).map((point) => circle(point, SWING)))
  }

  keep(...circles: Circle[]): void {
    this.circles.push(...circles)
  }

  isFree(box: Rect): boolean {
    const { width, height } = this.sheet.view
    if (box.x < 1 || box.y < 1 || box.x + box.w > width - 1 || box.y + box.h > height - 1) return false
    const free = this.taken.every(
      (r) =>
        box.x >= r.x + r.w + 3 ||
        r.x >= box.x + box.w + 3 ||
        box.y >= r.y + r.h + 3 ||
        r.y >= box.y + box.h + 3,
    )
    return free && this.circles.every((c) => distance(box, c.x, c.y) >= c.r)
  }

  /** Whether a circle lies inside the box, away from all circles and words. */
  isFreeCircle({ x, y, r }: Circle): boolean {
    const { width, height } = this.sheet.view
    if (Math.min(x, y, width - x, height - y) < r + 1) return false
    return (
      this.taken.every((box) => distance(box, x, y) >= r + 3) &&
      this.circles.every((c) => Math.hypot(x - c.x, y - c.y) >= r + c.r)
    )
  }

  /** Even-odd rule on the polygon of the spans. */
  isInLoop(x: number, y: number): boolean {
    let inside = false
    for (let i = 0, j = this.loop.length - 1; i < this.loop.length; j = i, i += 1) {
      const [[xi, yi], [xj, yj]] = [this.loop[i]!, this.loop[j]!]
      if (yi > y !== yj > y && x < ((xj - xi) * (y - yi)) / (yj - yi) + xi) inside = !inside
    }
    return inside
  }

  /** The cheapest free place; angles and steps in a fixed order, the first of equals wins. */
  cheapest(candidates: readonly Candidate[]): Rect | null {
    let best: Candidate | null = null
    for (const each of candidates)
      if (
        (best === null || each.cost < best.cost - 1e-6) &&
        this.isFree(each.box) &&
        this.isOpen(each.leader?.())
      )
        best = each
    return best?.box ?? null
  }

  /** Whether a leader crosses no word, and nothing else that is kept clear but the wheel that it begins on. */
  private isOpen(leader: readonly Point[] = []): boolean {
    const from = leader[0]
    const others = this.circles.filter((c) => from && Math.hypot(from[0] - c.x, from[1] - c.y) >= c.r)
    return leader.every(
      ([x, y]) =>
        this.taken.every((box) => distance(box, x, y) >= 3) &&
        others.every((c) => Math.hypot(x - c.x, y - c.y) >= c.r - LEADER_NEAR),
    )
  }
}

function distance(box: Rect, x: number, y: number): number {
  return Math.hypot(Math.max(box.x - x, 0, x - box.x - box.w), Math.max(box.y - y, 0, y - box.y - box.h))
}

/** Boxes of a size round a circle, with their costs. */
function around(
  spot: Circle,
  w: number,
  h: number,
  gaps: readonly number[],
  extra: (angle: number, cx: number, cy: number) => number,
): Candidate[] {
  return ANGLES.flatMap((angle) =>
    gaps.map((gap) => {
      const [dx, dy] = [Math.cos(angle), Math.sin(angle)]
      const reach = spot.r + gap + (Math.abs(dx) * w + Math.abs(dy) * h) / 2
      const [cx, cy] = [spot.x + dx * reach, spot.y + dy * reach]
      return { box: { x: cx - w / 2, y: cy - h / 2, w, h }, cost: gap + extra(angle, cx, cy) }
    }),
  )
}

const tagWidth = (text: string) => text.length * LETTER + 9

/** The line from a pin to its tag, where it is seen: outside the tag. */
function leaderTo(tag: Rect, pin: Point): Point[] {
  const middle: Point = [tag.x + tag.w / 2, tag.y + tag.h / 2]
  return pointsBetween(pin, middle).filter(([x, y]) => distance(tag, x, y) > 0)
}

export function placeTags(sheet: Sheet, floor: Floor): { placed: Placed[]; missed: number } {
  const placed: Placed[] = []
  const stamped = new Set<string>()
  let missed = 0
  for (const pin of sheet.drive.wheels) {
    const { hole } = pin
    if (!hole || sheet.isGone(pin) || sheet.view.fitting) continue
    const looked = sheet.isLooked(hole.pin)
    const wanted = looked || (pinOf(sheet.state, pin.id) === true && !sheet.isSmall)
    if (!wanted || stamped.has(hole.pin)) continue // one bar may lie in two wheels
    const w = tagWidth(tagOf(hole, sheet.view))
    const outward = Math.atan2(pin.y_um - hole.y_um, hole.x_um - pin.x_um)
    const frame = !looked ? 0 : sheet.isSmall ? 8 : 10
    // Inside the loop is dearer for words, cheaper for tags.
    const cost = (angle: number, cx: number, cy: number) =>
      14 * (1 - Math.cos(angle - outward)) + (!sheet.hasBelt || floor.isInLoop(cx, cy) ? 0 : OVER_THE_BELT)
    const tag = floor.cheapest(
      around(circle(sheet.middle(hole), 4), w + frame, TAG_HEIGHT + frame, TAG_GAPS, cost).map((each) => ({
        ...each,
        leader: () => leaderTo(each.box, sheet.middle(hole)),
      })),
    )
    if (tag === null) {
      missed += 1
      continue
    }
    floor.taken.push(tag)
    floor.keep(...leaderTo(tag, sheet.middle(hole)).map((point) => circle(point, 3)))
    stamped.add(hole.pin)
    placed.push({ pin, tag: { x: tag.x + frame / 2, y: tag.y + frame / 2, w, h: TAG_HEIGHT } })
  }
  return { placed, missed }
}

export function placeWords(sheet: Sheet, floor: Floor): { words: Word[]; missed: number } {
  const words: Word[] = []
  let missed = 0
  const fitting = sheet.view.fitting === true
  for (const wheel of sheet.drive.wheels) {
    const count = fitting ? sheet.drive.counts.find(({ to }) => to === wheel.id) : undefined
    const timed = count !== undefined || (wheel.mark_mdeg !== undefined && !sheet.isSmall)
    if (!timed && !isNamed(sheet, wheel)) continue
    const clock = clockOf(sheet, wheel)
    const text = count ? `${wheel.label} ${count.teeth}` : wheel.label
    // Far from its wheel, or inside the loop, it would be read as another number's name.
    const gaps = fitting ? [2, 6, 12] : [2, 6, 12, 20, 30, 42]
    const place = (said: string) =>
      floor.cheapest(
        around(
          circle(sheet.middle(wheel), sheet.edge(wheel)),
          said.length * LETTER,
          LINE,
          gaps,
          (_, cx, cy) => (floor.isInLoop(cx, cy) ? 30 : 0),
        ).filter(
          ({ box: at }) =>
            isNearest(sheet, wheel, at) && !(fitting && floor.isInLoop(at.x + at.w / 2, at.y + at.h / 2)),
        ),
      )
    const said = clock !== null && place(`${text} ${clock}`) ? `${text} ${clock}` : text
    if (clock !== null && said === text) missed += LESS
    const box = place(said)
    if (box) {
      floor.taken.push(box)
      words.push({ wheel, text: said, box })
    } else if (timed || !fitting) missed += 1
  }
  return { words, missed }
}

/** Where on a wheel's face the pin's hole is that a step looks for, as on a clock's; null where none is looked for. */
function clockOf(sheet: Sheet, wheel: DriveWheel): string | null {
  const { hole } = wheel
  return hole && sheet.isLooked(hole.pin) && !sheet.isSmall ? hoursOf(wheel, hole) : null
}

/** Whether it is looked at, and by nothing else told from the others. */
function isNamed(sheet: Sheet, wheel: DriveWheel): boolean {
  if (sheet.view.fitting && sheet.isSmall) return false
  return sheet.isLooked(wheel.id) && !(sheet.hasLoupe && wheel === sheet.tensioner)
}

/** Whether no other wheel is nearer to a name: it would be read as that one's. */
function isNearest(sheet: Sheet, wheel: DriveWheel, box: Rect): boolean {
  const far = (each: DriveWheel) => distance(box, ...sheet.middle(each)) - sheet.k * each.r_um
  const own = far(wheel)
  return sheet.drive.wheels.every((each) => each === wheel || far(each) >= own + 2)
}

/** Where it is said which side is slack, and which tight: close by one of its spans. */
export function placeSides(sheet: Sheet, floor: Floor): { words: Word[]; missed: number } {
  const words: Word[] = []
  for (const { side, spans } of sheet.sideSpans()) {
    const candidates = spans.flatMap((ends, number) =>
      around(circle(between(...ends), 11), side.length * LOWER + 4, LINE, [1, 4, 8, 12], (_, cx, cy) =>
        floor.isInLoop(cx, cy) ? 6 : 0,
      ).map(({ box, cost }) => ({ box, cost: cost + 4 * number })),
    )
    const box = floor.cheapest(candidates)
    if (!box) continue
    floor.taken.push(box)
    words.push({ wheel: null, text: side, box })
  }
  return { words, missed: SIDES.length - words.length }
}

/** Where each wheel's number in the fitting order stands: on it, or for want of room by it. */
export function placeNumbers(sheet: Sheet, floor: Floor): { numbers: Map<string, Point>; missed: number } {
  const numbers = new Map<string, Point>()
  let missed = 0
  for (const name of sheet.drive.order) {
    const wheel = sheet.drive.wheels.find(({ id }) => id === name)!
    let spot = onWheel(sheet, wheel)
    if (
      spot === null ||
      [...numbers.values()].some(([x, y]) => Math.hypot(spot![0] - x, spot![1] - y) < 2 * BADGE)
    ) {
      const box = floor.cheapest(
        around(circle(sheet.middle(wheel), sheet.edge(wheel)), 2 * BADGE, 2 * BADGE, [1, 3, 6], () => 0),
      )
      if (box === null) {
        missed += 1
        continue
      }
      spot = [box.x + BADGE, box.y + BADGE]
    }
    floor.keep(circle(spot, BADGE))
    numbers.set(name, spot)
  }
  return { numbers, missed }
}

/** A place on the wheel for its number: its middle, or as far from it as a pin asks. */
function onWheel(sheet: Sheet, wheel: DriveWheel): Point | null {
  const [x, y] = sheet.middle(wheel)
  if (!wheel.hole || !sheet.hasPins) return [x, y]
  const [hx, hy] = sheet.middle(wheel.hole)
  const far = Math.hypot(x - hx, y - hy)
  const move = BADGE + SMALL_PIN + 1.5 - far
  if (move <= 0) return [x, y]
  if (far === 0 || move + BADGE > sheet.body(wheel) + 2) return null
  return [x + (move * (x - hx)) / far, y + (move * (y - hy)) / far]
}

/** The nearest place for the loupe and the word under it, its leader over no other wheel. */
export function placeLoupe(sheet: Sheet, floor: Floor, r: number): Circle | null {
  const edge = (wheel: DriveWheel) => circle(sheet.middle(wheel), sheet.edge(wheel))
  const from = edge(sheet.tensioner)
  const start: Point = [from.x, from.y]
  const others = sheet.drive.wheels.filter((wheel) => wheel !== sheet.tensioner).map(edge)
  const { width, height } = sheet.view
  let best: { loupe: Circle; cost: number } | null = null
  for (let x = Math.ceil(r) + 3; x < Math.floor(width - r - 2); x += 6) {
    for (let y = Math.ceil(r) + 3; y < Math.floor(height - r - 2); y += 6) {
      const loupe = { x, y, r: r + 3 }
      const far = Math.hypot(x - from.x, y - from.y)
      if (far < from.r + r + LEADER) continue
      const cost = far + (floor.isInLoop(x, y) ? 60 : 0)
      if (best !== null && cost >= best.cost - 1e-6) continue
      if (!floor.isFreeCircle(loupe) || !floor.isFree(loupeWord(loupe))) continue
      if (
        pointsBetween(start, [x, y]).some(([px, py]) =>
          others.some((c) => Math.hypot(px - c.x, py - c.y) < c.r),
        )
      )
        continue
      best = { loupe, cost }
    }
  }
  if (best === null) return null
  const { loupe } = best
  floor.keep(loupe, ...pointsBetween(start, [loupe.x, loupe.y]).map((point) => circle(point, 5)))
  floor.taken.push(loupeWord(loupe))
  return { ...loupe, r }
}

export function loupeWord({ x, y, r }: Circle): Rect {
  const w = LOUPE_WORD.length * LETTER
  return { x: x - w / 2, y: y + r + 2, w, h: LINE }
}
