/**
 * What a solved DRIVE says of itself: which spans are slack, and which way its tensioner tightens.
 * The slack side is the server's too (`server/twoturns/procedure/drive/sides.py`, which says why): it refuses a drive by it.
 */
import type { DriveBlock, DriveWheel } from '../procedure/bundle'

/** Where in belt order the tensioner stands: a drive has one. */
export const tensionerOf = (drive: DriveBlock) =>
  drive.wheels.findIndex(({ eccentric }) => eccentric !== undefined)

/** How many spans are slack, from the driving wheel on, the way the belt runs. All others are pulled. */
export function slackSpans(drive: DriveBlock): number {
  const at = tensionerOf(drive)
  const end = drive.wheels.findIndex(({ inside }, i) => i > at && inside)
  return end < 0 ? drive.wheels.length : end
}

/**
 * How much longer the path grows when the tensioner turns a degree anticlockwise; above zero that tightens. A roller
 * that moves lengthens the two spans beside it by its way along them; the arcs change in the second order only.
 */
export function slopeMmPerDeg(drive: DriveBlock): number {
  const { path } = drive
  const at = tensionerOf(drive)
  const { x_um, y_um, eccentric } = drive.wheels[at]!
  const arriving = direction(path.at(at - 1)!.out, path[at]!.in)
  const leaving = direction(path[at]!.out, path[(at + 1) % path.length]!.in)
  const [dx, dy] = [x_um - eccentric!.x_um, y_um - eccentric!.y_um]
  const umPerRadian = (arriving[0] - leaving[0]) * -dy + (arriving[1] - leaving[1]) * dx
  return (umPerRadian / 1000) * (Math.PI / 180)
}

/** Which way the tensioner is turned to tighten the belt. */
export const tightens = (drive: DriveBlock) => (slopeMmPerDeg(drive) > 0 ? 'anticlockwise' : 'clockwise')

/** Whether a tensioner swings on an arm: its stud stands outside its roller. */
export const isArm = ({ x_um, y_um, r_um, eccentric }: DriveWheel) =>
  eccentric !== undefined && Math.hypot(x_um - eccentric.x_um, y_um - eccentric.y_um) > r_um

function direction(
  [x1, y1]: readonly [number, number],
  [x2, y2]: readonly [number, number],
): [number, number] {
  const length = Math.hypot(x2 - x1, y2 - y1)
  return [(x2 - x1) / length, (y2 - y1) / length]
}
