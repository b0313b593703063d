/** A drive as its source measures it, and where its wheels and belt are drawn. Pure; mm, x right, y up. */
import type { Document } from 'yaml'
import type { FittedAnswer } from '../../ledger/answers'
import { lengthAt, nodeAt, readSource, wordsAt, type Path } from './edits'
import { freshName } from './starters'
import { withAll, withInserted, without, type Change } from './structure'

export type PointText = readonly [string, string]

/** What of a wheel is read here; all else goes to the workshop as it stands. */
interface WheelText {
  id: string
  side?: string
  at?: PointText
  stud?: PointText
}

export interface MeasuredDrive {
  running?: string
  wheels: readonly WheelText[]
}

export interface Box {
  left: number
  top: number
  width: number
  height: number
}

/** The drive of a source; null where it has none whose wheels can be read. */
export function driveOf(document: Document): MeasuredDrive | null {
  const drive = nodeAt(document, ['drive'])?.toJS(document) as Partial<MeasuredDrive> | undefined
  if (typeof drive !== 'object' || !Array.isArray(drive?.wheels)) return null
  const isWheel = (wheel: unknown) => typeof wheel === 'object' && wheel !== null && 'id' in wheel
  return drive.wheels.every(isWheel) ? (drive as MeasuredDrive) : null
}

/** Where a wheel's place stands in the source, and what it is: of the tensioner its stud's. */
export function placeOf({ wheels }: MeasuredDrive, nth: number): { path: Path; point: PointText } {
  const { stud, at } = wheels[nth]!
  const [name, point] = stud ? ['stud', stud] : ['at', at ?? (['0', '0'] as const)]
  return { path: ['drive', 'wheels', nth, name], point }
}

/** A drive with one wheel somewhere else, to a tenth of a mm: a rule is read no finer. */
export function moved(drive: MeasuredDrive, nth: number, x_mm: number, y_mm: number): MeasuredDrive {
  const point = [String(Math.round(x_mm * 10) / 10), String(Math.round(y_mm * 10) / 10)] as const
  const put = (wheel: WheelText) => (wheel.stud ? { ...wheel, stud: point } : { ...wheel, at: point })
  return { ...drive, wheels: drive.wheels.map((wheel, at) => (at === nth ? put(wheel) : wheel)) }
}

/** A fit with its wheels where a drive has them now: as far from where they were as they were moved since. */
export function withPlaces(fit: FittedAnswer, of: MeasuredDrive, now: MeasuredDrive): FittedAnswer {
  const by = (nth: number, axis: 0 | 1) =>
    Math.round(1000 * (Number(placeOf(now, nth).point[axis]) - Number(placeOf(of, nth).point[axis]))) || 0
  const wheels = fit.wheels.map((wheel, nth) => ({
    ...wheel,
    x_um: wheel.x_um + by(nth, 0),
    y_um: wheel.y_um + by(nth, 1),
  }))
  return { ...fit, wheels }
}

/** What is to be seen: all wheels, with some room round them to drag one outwards. */
export function boxOf({ wheels }: FittedAnswer): Box {
  const mm = (of: (wheel: FittedAnswer['wheels'][number]) => number) =>
    wheels.map((wheel) => of(wheel) / 1000)
  const left = Math.min(...mm(({ x_um, radius_um }) => x_um - radius_um))
  const right = Math.max(...mm(({ x_um, radius_um }) => x_um + radius_um))
  const top = Math.min(...mm(({ y_um, radius_um }) => -y_um - radius_um))
  const bottom = Math.max(...mm(({ y_um, radius_um }) => -y_um + radius_um))
  const room = 0.15 * Math.max(right - left, bottom - top)
  return {
    left: left - room,
    top: top - room,
    width: right - left + 2 * room,
    height: bottom - top + 2 * room,
  }
}

/** The place, in mm, of a point on the screen: the drawing fills its room as far as its shape allows. */
export function toMm(
  { clientX, clientY }: { clientX: number; clientY: number },
  room: { left: number; top: number; width: number; height: number },
  box: Box,
): [number, number] {
  const scale = Math.min(room.width / box.width, room.height / box.height)
  const x = (clientX - room.left - (room.width - box.width * scale) / 2) / scale + box.left
  const y = (clientY - room.top - (room.height - box.height * scale) / 2) / scale + box.top
  return [x, -y]
}

/** The belt as a path of arcs and lines; it turns round wheels inside it as the crankshaft does. */
export function beltPath({ wheels }: FittedAnswer, drive: MeasuredDrive): string {
  const isClockwise = drive.running !== 'anticlockwise'
  const point = ([x, y]: readonly number[]) => `${x! / 1000} ${-y! / 1000}`
  const parts = wheels.map(({ into_um, out_um, radius_um, wrap_deg }, nth) => {
    const isInside = drive.wheels[nth]?.side !== 'outside'
    const sweep = isInside === isClockwise ? 1 : 0
    const r = radius_um / 1000
    return `${nth === 0 ? 'M' : 'L'}${point(into_um)}A${r} ${r} 0 ${Number(wrap_deg) > 180 ? 1 : 0} ${sweep} ${point(out_um)}`
  })
  return `${parts.join('')}Z`
}

const MOST_MM = 60
const LEAST_MM = 20
/** How far a new roller presses the belt in: it lies on it, and all else stays as it is. */
const INTO_BELT_MM = 5

/** Where a roller presses on the belt's back in the middle of the span behind a wheel, mm, and how thick it may be. */
export function rollerAt(
  drive: MeasuredDrive,
  fit: FittedAnswer | null,
  nth: number,
): { at: PointText; diameter_mm: string } {
  const next = (nth + 1) % drive.wheels.length
  const drawn = fit?.wheels.length === drive.wheels.length
  const places = [nth, next].map((each) => placeOf(drive, each).point.map(Number))
  const [from, to] = drawn
    ? [fit.wheels[nth]!.out_um, fit.wheels[next]!.into_um].map((point) => point.map((um) => um / 1000))
    : places
  const [dx, dy] = [to![0]! - from![0]!, to![1]! - from![1]!]
  const long = Math.hypot(dx, dy) || 1
  const diameter = Math.round(Math.min(MOST_MM, Math.max(LEAST_MM, long / 2)))
  // The loop lies to the right of a belt that runs clockwise.
  const out = ((diameter / 2 - INTO_BELT_MM) * (drive.running === 'anticlockwise' ? -1 : 1)) / long
  const tenth = (mm: number) => String(Math.round(mm * 10) / 10)
  const at = [
    tenth((from![0]! + to![0]!) / 2 - dy * out),
    tenth((from![1]! + to![1]!) / 2 + dx * out),
  ] as const
  return { at, diameter_mm: String(diameter) }
}

/** The text with a roller behind a wheel, in the order the belt runs; null where it cannot be. */
export function withWheelBehind(
  text: string,
  drive: MeasuredDrive,
  fit: FittedAnswer | null,
  nth: number,
  label: string,
): string | null {
  const ids = drive.wheels.map(({ id }) => id)
  const id = freshName('roller', ids)
  const wheel = { id, label, ...rollerAt(drive, fit, nth), side: 'outside' }
  const placed = withInserted(text, ['drive', 'wheels'], nth + 1, wheel)
  const document = placed && readSource(placed)
  if (!placed || !document) return null
  const count = lengthAt(document, ORDER)
  return count > 0 ? withAll(placed, [[[...ORDER, count], id]]) : placed
}

const ORDER = ['drive', 'order'] as const

/** The text without a wheel, in the order of putting the belt on neither; null where it cannot be. */
export function withoutWheel(text: string, drive: MeasuredDrive, nth: number): string | null {
  const document = readSource(text)
  const left = without(text, ['drive', 'wheels', nth])
  if (!document || !left) return null
  const places = [...Array(lengthAt(document, ORDER)).keys()].map((at): Path => [...ORDER, at])
  const named = places.filter((path) => wordsAt(document, path) === drive.wheels[nth]!.id)
  return withAll(
    left,
    named.map((path): Change => [path, null]),
  )
}
