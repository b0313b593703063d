/**
 * Room for words beside the belt of the job: as near as possible to what they name, over no belt, wheel or other word.
 * Pure. Sizes are px of the drawing.
 */
import { along, type Place } from './belt-path'

export interface Round {
  cx: number
  cy: number
  r: number
}
export interface Wanted {
  /** One or two lines. */ lines: readonly string[]
  size: number
  at: Place /** px it may slide along the belt, and lie from it: a number must stay beside its step. */
  slide: number
  away: number /** Without room it is left out, and nothing is lost. */
  spare: boolean
}
/** `x` and `y` are the middle of the words' box. */
export type Word<W extends Wanted = Wanted> = W & Box
export interface Ground {
  line: readonly [number, number][]
  side: 1 | -1
  half: number
  wheels: readonly Round[]
  width: number
  height: number
}

interface Box {
  x: number
  y: number
  w: number
  h: number
}

/** Archivo at 80 % width, weight 640: 0.37 of its size a character, measured on the names of phases; the rest is air. */
const CHARACTER = 0.42
export const LINE = 1.1
const AWAY = [5, 14, 26, 40, 58, 80]
const ASIDE = [0, 12, -12, 26, -26, 44, -44, 66, -66]
/** px: a smaller wheel has no room for words inside it. */
const ROOMY = 50

const overlap = (a: Box, b: Box, air: number) =>
  Math.abs(a.x - b.x) < (a.w + b.w) / 2 + air && Math.abs(a.y - b.y) < (a.h + b.h) / 2 + air

/** From a point to the nearest place of a box. */
const distance = (x: number, y: number, box: Box) =>
  Math.hypot(Math.max(0, Math.abs(x - box.x) - box.w / 2), Math.max(0, Math.abs(y - box.y) - box.h / 2))

/** Clear of the wheel's edge and of its middle, where the dot is. */
function isClear({ cx, cy, r }: Round, box: Box): boolean {
  const farthest = Math.hypot(Math.abs(cx - box.x) + box.w / 2, Math.abs(cy - box.y) + box.h / 2)
  const nearest = distance(cx, cy, box)
  return nearest > r + 2 || (r > ROOMY && farthest < r - 2 && nearest > 5)
}

function candidates({ side }: Ground, wanted: Wanted, w: number, h: number, half: number): Box[] {
  const { x, y, tx, ty } = wanted.at
  return AWAY.filter((away) => away <= wanted.away).flatMap((away) =>
    [side, -side].flatMap((to) => {
      const [nx, ny] = [ty * to, -tx * to]
      const reach = half + (Math.abs(nx) * w + Math.abs(ny) * h) / 2 + away
      return ASIDE.filter((aside) => Math.abs(aside) <= wanted.slide).map((aside) => ({
        x: x + nx * reach + tx * aside,
        y: y + ny * reach + ty * aside,
        w,
        h,
      }))
    }),
  )
}

/** What must be said and has no room may lie over the drawing, but not be cut off. */
const inside = ({ width, height }: Ground, box: Box): Box => ({
  ...box,
  x: Math.min(Math.max(box.x, box.w / 2 + 2), width - box.w / 2 - 2),
  y: Math.min(Math.max(box.y, box.h / 2 + 2), height - box.h / 2 - 2),
})

/** A phrase in two lines of about the same length, where it is long. */
export function twoLines(phrase: string): string[] {
  if (phrase.length <= 12) return [phrase]
  const spaces = [...phrase].flatMap((sign, i) => (sign === ' ' ? [i] : []))
  const cut = spaces.sort((a, b) => Math.abs(a - phrase.length / 2) - Math.abs(b - phrase.length / 2))[0]
  return cut === undefined ? [phrase] : [phrase.slice(0, cut), phrase.slice(cut + 1)]
}

/** Words in the order of their weight: the first get the best room. */
export function placeWords<W extends Wanted>(ground: Ground, wanted: readonly W[]): Word<W>[] {
  const belt = along(
    ground.line,
    Array.from({ length: 360 }, (_, i) => i / 360),
  )
  const placed: Word<W>[] = []
  for (const each of wanted) {
    const [w, h] = [
      Math.max(...each.lines.map(({ length }) => length)) * each.size * CHARACTER,
      each.lines.length * each.size * LINE,
    ]
    const fits = (box: Box) =>
      box.x - w / 2 >= 2 &&
      box.x + w / 2 <= ground.width - 2 &&
      box.y - h / 2 >= 2 &&
      box.y + h / 2 <= ground.height - 2 &&
      placed.every((other) => !overlap(other, box, 4)) &&
      belt.every(({ x, y }) => distance(x, y, box) > ground.half + 1) &&
      ground.wheels.every((wheel) => isClear(wheel, box))
    const all = candidates(ground, each, w, h, ground.half)
    const box = all.find(fits) ?? (each.spare ? undefined : inside(ground, all[0]!))
    if (box) placed.push({ ...each, ...box })
  }
  return placed
}
