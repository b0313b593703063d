/** What a finger draws on a picture, in hundredths of it: the part that is shown, and an arrow. Pure. */
import type { Arrow, Crop } from '../../procedure/shape'

export interface Point {
  x: number
  y: number
}

/** As the workshop has it: less of a picture cannot be made out. */
const LEAST_PERCENT = 5

/** The part between two corners; null where it is too small to be meant. */
export function cropBetween(one: Point, other: Point): Crop | null {
  const [width_percent, height_percent] = [Math.abs(one.x - other.x), Math.abs(one.y - other.y)]
  if (Math.min(width_percent, height_percent) < LEAST_PERCENT) return null
  const [left_percent, top_percent] = [Math.min(one.x, other.x), Math.min(one.y, other.y)]
  return { left_percent, top_percent, width_percent, height_percent }
}

/** An arrow drawn from its tail to its tip, on a picture so many times as wide as it is high; null for a tap. */
export function arrowBetween(tail: Point, tip: Point, shape: number): Arrow | null {
  if (tail.x === tip.x && tail.y === tip.y) return null
  const turned = (Math.atan2(tail.y - tip.y, (tip.x - tail.x) * shape) * 180) / Math.PI
  return { x_percent: tip.x, y_percent: tip.y, angle_deg: (Math.round(turned) + 360) % 360 }
}
