/**
 * How far a tool was turned, from the rates of the phone's gyro while the phone rode on it.
 *
 * A still second before the turn gives each axis its zero. From then on the rates are added up as a rotation (quaternion,
 * mid-point rule), and the rotation is split into a twist about the net axis and a swing, which is the hand's wobble
 * and does not count. Turns beyond one are followed as they come.
 *
 * What remains is the sensor's scale: 1 % is typical, which at 90 degrees is 0.9. One turn of 360 degrees against the edge
 * of a table takes it away. The twin is `server/twoturns/instruments/turn.py`, which names the sources.
 */
import { refuse, rounded, type Refusal } from './refusal'
import * as words from '../words/en/instruments/turn'
import { t as say } from '../words/message'

export const EDITION = 1
/** A still second, less a sample at each end. */
export const STILL_US = 900_000
/** Thousandths of a degree per second. */
export const MOST_SPREAD_MDPS = 2_000
const MOST_ZERO_MDPS = 10_000
const MOST_GAP_US = 200_000
const MOST_RATE_MDPS = 500_000
export const LONGEST_US = 120_000_000
const MOST_BACK_DEG = 5
const LEAST_DEG = 5
const MOST_SWING_DEG = 35
const CHANCE_DEG = 1
const SCALE_SHARE = 1 / 30
const CALIBRATED_SHARE = 1 / 90
export const MOST_SCALE_PPM = 50_000

/** Microseconds, and the rates about the phone's own x, y and z in thousandths of a degree per second. */
export type Sample = readonly [t_us: number, x: number, y: number, z: number]

export interface TurnTaken {
  still: { from_us: number; to_us: number }
  /** What to add to the rates, in millionths; 0: not calibrated. */
  scale_ppm: number
  samples: readonly Sample[]
}

type Sense = 'clockwise' | 'anticlockwise' | 'unknown'

export interface TurnFound {
  ok: true
  mdeg: number
  /** As a reading records it: degrees, one decimal, never below zero. */
  value: string
  /** In 95 of 100 turns the truth is within this much. */
  tolerance_mdeg: number
  /** As seen by one who faces the screen; unknown where the screen faced sideways. */
  sense: Sense
  /** In thousandths, in the phone's own frame. */
  axis: readonly [number, number, number]
  is_calibrated: boolean
  message: string
}

type Vector = readonly [number, number, number]
type Quaternion = readonly [number, number, number, number]

const radians = (degrees: number) => (degrees * Math.PI) / 180
const dot = (a: Vector, b: Vector) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2]

/** The angle of one capture, or why there is none. */
export function measureTurn({ samples, still, scale_ppm }: TurnTaken): TurnFound | Refusal {
  const zero = zeroOf(samples.filter(([t]) => t >= still.from_us && t <= still.to_us))
  if ('ok' in zero) return zero
  const moving = samples.filter(([t]) => t >= still.to_us)
  return unfit(moving) ?? judged(pathOf(moving, zero, 1 + scale_ppm / 1_000_000), scale_ppm !== 0)
}

/**
 * Several captures of one tightening as one: the strokes of a ratchet. The chance part of the tolerance grows with the
 * root of their number; the scale's part does not average out, for it is one sensor.
 */
export function addTurns(turns: readonly [TurnFound, ...TurnFound[]]): TurnFound {
  const mdeg = turns.reduce((sum, turn) => sum + turn.mdeg, 0)
  const sense = turns.every((turn) => turn.sense === turns[0].sense) ? turns[0].sense : 'unknown'
  return asTurn(
    mdeg,
    turns.length,
    sense,
    turns[turns.length - 1]!.axis,
    turns.every((turn) => turn.is_calibrated),
  )
}

/** The angle in turns, as a reading records it where a crank is turned: two decimals. */
export const inTurns = ({ mdeg }: Pick<TurnFound, 'mdeg'>): string => (rounded(mdeg / 3600) / 100).toFixed(2)

/** The best that is told of so large an angle, degrees. */
export const toleranceDeg = (deg: number, isCalibrated: boolean): number =>
  CHANCE_DEG + deg * (isCalibrated ? CALIBRATED_SHARE : SCALE_SHARE)

/** The scale in ppm from one turn of 360 degrees against an edge; never 0. */
export function scaleFromFullTurn(turn: TurnFound): number | Refusal {
  const ppm = rounded((360_000 / turn.mdeg) * 1_000_000) - 1_000_000
  if (turn.is_calibrated || Math.abs(ppm) > MOST_SCALE_PPM) {
    return refuse('no-full-turn', say(words.noFullTurn, { value: turn.value }), say(words.noFullTurnHint))
  }
  return ppm || 1
}

/** A scale is one axis's own: it holds for turns about nearly the axis on which it was found. */
export const scaleHolds = (calibration: Pick<TurnFound, 'axis'>, turn: Pick<TurnFound, 'axis'>): boolean =>
  Math.abs(dot(calibration.axis, turn.axis)) > 1_000_000 * Math.cos(radians(25))

/** What each axis says when nothing turns. */
function zeroOf(samples: readonly Sample[]): Vector | Refusal {
  if (samples.length < 10 || samples[samples.length - 1]![0] - samples[0]![0] < STILL_US) {
    return refuse('no-still', say(words.noStill), say(words.noStillHint))
  }
  const columns = ([1, 2, 3] as const).map((axis) => samples.map((sample) => sample[axis]))
  const means = columns.map((column) => column.reduce((sum, rate) => sum + rate, 0) / column.length)
  if (spreadOf(samples) > MOST_SPREAD_MDPS || Math.max(...means.map(Math.abs)) > MOST_ZERO_MDPS) {
    return refuse('not-still', say(words.notStill), say(words.notStillHint))
  }
  return means as unknown as Vector
}

/** The widest range of the three rates. */
export function spreadOf(samples: readonly Sample[]): number {
  const range = (axis: 1 | 2 | 3) => {
    let [low, high] = [Infinity, -Infinity]
    for (const sample of samples) [low, high] = [Math.min(low, sample[axis]), Math.max(high, sample[axis])]
    return high - low
  }
  return Math.max(range(1), range(2), range(3))
}

function unfit(samples: readonly Sample[]): Refusal | null {
  const again = say(words.keepPageInFront)
  if (samples.length < 10) return refuse('no-samples', say(words.noSamples), again)
  const gaps = samples.slice(1).map(([t], i) => t - samples[i]![0])
  if (gaps.some((gap) => gap > MOST_GAP_US || gap <= 0)) return refuse('gap', say(words.sensorPaused), again)
  if (samples[samples.length - 1]![0] - samples[0]![0] > LONGEST_US) {
    return refuse('too-long', say(words.tooLong), say(words.tooLongHint))
  }
  if (samples.some(([, ...rates]) => rates.some((rate) => Math.abs(rate) > MOST_RATE_MDPS))) {
    return refuse('too-fast', say(words.tooFast), say(words.tooFastHint))
  }
  return null
}

const times = (p: Quaternion, q: Quaternion): Quaternion => [
  p[0] * q[0] - p[1] * q[1] - p[2] * q[2] - p[3] * q[3],
  p[0] * q[1] + p[1] * q[0] + p[2] * q[3] - p[3] * q[2],
  p[0] * q[2] - p[1] * q[3] + p[2] * q[0] + p[3] * q[1],
  p[0] * q[3] + p[1] * q[2] - p[2] * q[1] + p[3] * q[0],
]

/** The rotation since the still second at each sample, and the rates simply added up. */
interface Path {
  rotations: Quaternion[]
  sumRad: Vector
}

function pathOf(samples: readonly Sample[], zero: Vector, scale: number): Path {
  const toRad = (Math.PI / 180_000) * scale
  let q: Quaternion = [1, 0, 0, 0]
  let sum: Vector = [0, 0, 0]
  const rotations = [q]
  for (let i = 1; i < samples.length; i += 1) {
    const [one, two] = [samples[i - 1]!, samples[i]!]
    const seconds = (two[0] - one[0]) / 1_000_000
    const step = (axis: 1 | 2 | 3) => ((one[axis] + two[axis]) / 2 - zero[axis - 1]!) * toRad * seconds
    const d: Vector = [step(1), step(2), step(3)]
    sum = [sum[0] + d[0], sum[1] + d[1], sum[2] + d[2]]
    const angle = Math.sqrt(dot(d, d))
    const part = angle < 1e-9 ? 0.5 : Math.sin(angle / 2) / angle
    q = times(q, [Math.cos(angle / 2), part * d[0], part * d[1], part * d[2]])
    rotations.push(q)
  }
  return { rotations, sumRad: sum }
}

function unit(v: Vector): Vector {
  const length = Math.sqrt(dot(v, v))
  return [v[0] / length, v[1] / length, v[2] / length]
}

/** The part of a rotation about an axis, radians, whole turns left out. */
const twist = ([w, x, y, z]: Quaternion, axis: Vector) => 2 * Math.atan2(dot([x, y, z], axis), w)

/** The same direction as `angle`, as few turns as possible from `near`. */
const nearest = (angle: number, near: number) =>
  angle - 2 * Math.PI * Math.floor((angle - near) / (2 * Math.PI) + 0.5)

function judged({ rotations, sumRad }: Path, isCalibrated: boolean): TurnFound | Refusal {
  if (Math.sqrt(dot(sumRad, sumRad)) < radians(LEAST_DEG)) {
    return refuse('no-turn', say(words.noTurn), say(words.noTurnHint))
  }
  const about = unit(sumRad)
  let [turned, most, back] = [0, 0, 0]
  for (const rotation of rotations) {
    turned = nearest(twist(rotation, about), turned)
    most = Math.max(most, turned)
    back = Math.max(back, most - turned)
  }
  if (back > radians(MOST_BACK_DEG)) {
    return refuse(
      'turned-back',
      say(words.turnedBack, { rounded: rounded((back * 180) / Math.PI) }),
      say(words.turnedBackHint),
    )
  }
  const q = rotations[rotations.length - 1]!
  const swing = 2 * Math.acos(Math.min(1, Math.hypot(q[0], dot([q[1], q[2], q[3]], about))))
  if (swing > radians(MOST_SWING_DEG)) {
    return refuse('loose', say(words.loose), say(words.looseHint))
  }
  const axis = netAxis(q, about)
  const mdeg = rounded((nearest(twist(q, axis), turned) * 180_000) / Math.PI)
  const sense = Math.abs(axis[2]) < 0.5 ? 'unknown' : axis[2] > 0 ? 'anticlockwise' : 'clockwise'
  return asTurn(
    mdeg,
    1,
    sense,
    [rounded(axis[0] * 1000), rounded(axis[1] * 1000), rounded(axis[2] * 1000)],
    isCalibrated,
  )
}

/** The axis of the whole rotation, where it has one: near whole turns only `about` is known. */
function netAxis([, x, y, z]: Quaternion, about: Vector): Vector {
  const v: Vector = [x, y, z]
  if (dot(v, v) < 0.35 * 0.35) return about
  const axis = unit(v)
  return dot(axis, about) > 0 ? axis : [-axis[0], -axis[1], -axis[2]]
}

function asTurn(
  mdeg: number,
  captures: number,
  sense: Sense,
  axis: TurnFound['axis'],
  isCalibrated: boolean,
): TurnFound {
  const share = isCalibrated ? CALIBRATED_SHARE : SCALE_SHARE
  const tolerance = rounded(1000 * CHANCE_DEG * Math.sqrt(captures) + mdeg * share)
  const value = (rounded(mdeg / 100) / 10).toFixed(1)
  const message = say(words.turnedBy, { value, rounded: rounded(tolerance / 1000) })
  return {
    ok: true,
    mdeg,
    value,
    tolerance_mdeg: tolerance,
    sense,
    axis,
    is_calibrated: isCalibrated,
    message,
  }
}
