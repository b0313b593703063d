/**
 * What a tool was found to do at a check, and what that says of what was done with it.
 * The twin of `server/twoturns/trade/as_found.py`, which says the rules and names the sources.
 */

export type FoundVerdict = 'inside' | 'outside' | 'unknown'

/** Of a part: what adding decimals up as binary numbers may be off. */
const ROUNDING = 1e-9
const LAST_DAY = '9999-12-31'

/** What a wrench was set to, and what it delivered, in one unit; of a tool that shows what was there, and what it showed. */
export interface Point {
  nominal: number
  found: number
  direction?: string
}

/** A check on a day, YYYY-MM-DD; without points it is a calibration, after which the tool is as it should be. */
export interface Check {
  id: string
  on: string
  unit: string
  points: readonly Point[]
  allowedPercent: number
  /** In its unit, of a tool that shows. */
  allowed?: number
}

/** Off by no more than is allowed, of what the test device read. */
export function isWithin({ nominal, found }: Point, allowedPercent: number): boolean {
  if (!(nominal > 0 && found > 0)) return false
  return Math.abs(nominal - found) <= found * (allowedPercent / 100 + ROUNDING)
}

/** Whether the tool may be used by it. */
export const isGood = ({ points, allowedPercent, allowed }: Check): boolean =>
  points.every((point) =>
    allowed === undefined ? isWithin(point, allowedPercent) : Math.abs(errorOf(point)) <= allowed + ROUNDING,
  )

/** By how much a tool that shows showed too much (below 0: too little), in its unit. */
export const errorOf = ({ nominal, found }: Point): number => found - nominal

/** What was there when a tool showed a figure; null outside of what it showed at its check. */
export function really(points: readonly Point[], read: number): number | null {
  const at = new Map<number, number[]>()
  for (const point of points) at.set(point.found, [...(at.get(point.found) ?? []), errorOf(point)])
  const off = between(meansOf(at), read)
  return off === null ? null : read - off
}

/** By how much of its setting a wrench delivers more (below 0: less), in percent. */
export const offPercent = ({ nominal, found }: Point): number =>
  nominal > 0 ? (found / nominal - 1) * 100 : Number.NaN

const size = (point: Point) => (point.nominal > 0 ? Math.abs(offPercent(point)) : Number.POSITIVE_INFINITY)

/** The point that is off the most; the first of several. */
export const worst = (points: readonly Point[]): Point =>
  points.reduce((most, point) => (size(point) > size(most) ? point : most))

/** What a wrench delivers at a setting; null outside of the points at which it was checked. */
export function delivered(points: readonly Point[], setting: number): number | null {
  const off = between(lineOf(points), setting)
  return off === null ? null : setting * (1 + off)
}

type Line = [at: number, off: number][]

/** What lies straight between the points of a line, upwards; null outside of them. */
function between(line: Line, at: number): number | null {
  for (const [n, [low, offLow]] of line.entries()) {
    const next = line[n + 1] ?? (line.length === 1 ? line[0] : undefined)
    if (!next) return null
    const [high, offHigh] = next
    const rounding = ROUNDING * Math.max(Math.abs(low), Math.abs(high))
    if (low - rounding <= at && at <= high + rounding)
      return offLow + (offHigh - offLow) * (high > low ? (at - low) / (high - low) : 0)
  }
  return null
}

const meansOf = (at: ReadonlyMap<number, readonly number[]>): Line =>
  [...at]
    .sort(([a], [b]) => a - b)
    .map(([where, offs]) => [where, offs.reduce((sum, off) => sum + off, 0) / offs.length])

/** Each nominal value, upwards, with the part by which it is off. */
function lineOf(points: readonly Point[]): Line {
  const usable = points.filter(({ nominal, found }) => nominal > 0 && found >= 0)
  const clockwise = usable.filter(({ direction }) => direction !== 'anticlockwise')
  const at = new Map<number, number[]>()
  for (const { nominal, found } of clockwise.length > 0 ? clockwise : usable)
    at.set(nominal, [...(at.get(nominal) ?? []), found / nominal - 1])
  return meansOf(at)
}

/** What a fastener got against its limits: the verdict, and how far beyond, in parts of what was asked for. */
export function judged(
  value: number,
  actual: number | null,
  low: number | null,
  high: number | null,
): { verdict: FoundVerdict; beyond: number } {
  if (actual === null || (low === null && high === null) || !(value > 0))
    return { verdict: 'unknown', beyond: 0 }
  const below = low === null ? 0 : (low - actual) / value
  const above = high === null ? 0 : (actual - high) / value
  const beyond = Math.max(below, above)
  return beyond > ROUNDING ? { verdict: 'outside', beyond } : { verdict: 'inside', beyond: 0 }
}

/** By their days; of one day in the order in which they were stated. */
const inOrder = (checks: readonly Check[]): Check[] =>
  [...checks].sort((a, b) => (a.on < b.on ? -1 : a.on > b.on ? 1 : 0))

/** The tool was found out and no good check has followed. */
export function distrustedBy(checks: readonly Check[]): Check | null {
  const last = inOrder(checks).at(-1)
  return last && !isGood(last) ? last : null
}

/** The check by which what a tool tightened on a day is doubted; null: nothing doubts it. */
export function foundOut(checks: readonly Check[], day: string): Check | null {
  let first = ''
  let bad: Check[] = []
  const end = { id: '', on: LAST_DAY, unit: '', points: [], allowedPercent: 0 }
  for (const check of [...inOrder(checks), end]) {
    if (!isGood(check)) {
      bad.push(check)
      continue
    }
    if (bad.length > 0 && first <= day && day <= check.on)
      return bad.find(({ on }) => on >= day) ?? bad.at(-1)!
    first = check.on
    bad = []
  }
  return null
}

/** To two places, without zeros at the end, halves upward as the server rounds them. */
export const shown = (value: number): string => String(Math.floor(value * 100 + 0.5) / 100)
