/**
 * The belt of the job: a place for each step on the drive's own belt, from the crank's mark along the tight side,
 * which is against the running direction. Pure geometry, in the units it is given.
 */
import type { DriveBlock, DriveWheel } from '../../procedure/bundle'

export interface Place {
  x: number
  y: number /** Unit vector along the belt. */
  tx: number
  ty: number
}

const ARC_STEP = Math.PI / 48
const TURN = 2 * Math.PI

/** Points of one wheel's arc, in running direction. An inside wheel turns as the engine does, an outside one against it. */
function arc(
  wheel: DriveWheel,
  from: readonly [number, number],
  to: readonly [number, number],
  isClockwise: boolean,
): [number, number][] {
  const angle = ([x, y]: readonly [number, number]) => Math.atan2(y - wheel.y_um, x - wheel.x_um)
  const start = angle(from)
  const sweep = isClockwise
    ? (((start - angle(to)) % TURN) + TURN) % TURN
    : (((angle(to) - start) % TURN) + TURN) % TURN
  const parts = Math.max(1, Math.ceil(sweep / ARC_STEP))
  return Array.from({ length: parts + 1 }, (_, i) => {
    const at = start + ((isClockwise ? -1 : 1) * sweep * i) / parts
    return [wheel.x_um + wheel.r_um * Math.cos(at), wheel.y_um + wheel.r_um * Math.sin(at)]
  })
}

/** The closed belt line, y down as on a screen, starting at the crank's mark and running against the engine. */
export function beltLine(drive: DriveBlock): [number, number][] {
  const runs = drive.running === 'clockwise'
  const points = drive.path.flatMap((piece) => {
    const wheel = drive.wheels.find(({ id }) => id === piece.wheel)
    return wheel ? arc(wheel, piece.in, piece.out, wheel.inside === runs) : []
  })
  const line = points.map(([x, y]): [number, number] => [x, -y]).reverse()
  const crank = drive.wheels.find(({ id }) => id === drive.path[0]?.wheel)
  if (!crank || line.length === 0) return line
  const mark = ((crank.mark_mdeg ?? -90_000) / 1000) * (Math.PI / 180)
  const at: [number, number] = [
    crank.x_um + crank.r_um * Math.cos(mark),
    -(crank.y_um + crank.r_um * Math.sin(mark)),
  ]
  const distance = ([x, y]: [number, number]) => Math.hypot(x - at[0], y - at[1])
  const start = line.reduce((best, point, i) => (distance(point) < distance(line[best]!) ? i : best), 0)
  return [...line.slice(start), ...line.slice(0, start)]
}

/** Places at parts (0 to 1) of a closed line's length, from its start; parts in rising order. */
export function along(line: readonly [number, number][], parts: readonly number[]): Place[] {
  const closed = [...line, line[0]!]
  const lengths = closed.slice(1).map(([x, y], i) => Math.hypot(x - closed[i]![0], y - closed[i]![1]))
  const total = lengths.reduce((sum, each) => sum + each, 0)
  let [piece, walked] = [0, 0]
  return parts.map((share) => {
    const wanted = share * total
    while (piece < lengths.length - 1 && walked + lengths[piece]! < wanted) walked += lengths[piece++]!
    const [x1, y1] = closed[piece]!
    const [x2, y2] = closed[piece + 1]!
    const length = lengths[piece] || 1
    const part = (wanted - walked) / length
    return {
      x: x1 + (x2 - x1) * part,
      y: y1 + (y2 - y1) * part,
      tx: (x2 - x1) / length,
      ty: (y2 - y1) / length,
    }
  })
}

/** `count` places at equal distances along a closed line, half a distance from its start. */
export const places = (line: readonly [number, number][], count: number): Place[] =>
  along(
    line,
    Array.from({ length: count }, (_, i) => (i + 0.5) / count),
  )

/** 1 when the outside is to the left of the way along the line as a screen shows it, else -1 (shoelace formula). */
export function outside(line: readonly [number, number][]): 1 | -1 {
  const doubled = line.reduce((sum, [x, y], i) => {
    const [nx, ny] = line[(i + 1) % line.length]!
    return sum + x * ny - nx * y
  }, 0)
  return doubled > 0 ? 1 : -1
}
