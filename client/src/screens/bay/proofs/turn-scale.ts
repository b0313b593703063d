/** What a proof asks of the gyro, and the scale of this phone's: found once, kept with the device's settings. */
import {
  inTurns,
  MOST_SCALE_PPM,
  scaleFromFullTurn,
  toleranceDeg,
  type TurnFound,
} from '../../../instruments/turn'
import { rounded, type Refusal } from '../../../instruments/refusal'
import type { Proof } from '../../../procedure/bundle'
import type { Store } from '../../../store'
import { withUnit } from '../../../work/limits'
import * as words from '../../../words/en/bay/proofs/turn-scale'
import { t } from '../../../words/message'

/** In degrees, whatever unit the proof has. */
export interface AskedTurn {
  unit: '°' | 'turns'
  lowDeg: number
  highDeg: number
  targetDeg: number
}

export function askedTurn({ unit, low, high, target }: Proof): AskedTurn {
  const perUnit = unit === 'turns' ? 360 : 1
  const [lowDeg, highDeg] = [Number(low) * perUnit, Number(high) * perUnit]
  return {
    unit: unit === 'turns' ? 'turns' : '°',
    lowDeg,
    highDeg,
    targetDeg: target === undefined ? (lowDeg + highDeg) / 2 : Number(target) * perUnit,
  }
}

/** Whether the gyro tells an angle as well as its window is narrow: as it is, after a full turn against an edge, or never. */
export function fitOf({ lowDeg, highDeg }: AskedTurn): 'free' | 'scaled' | 'unfit' {
  const half = (highDeg - lowDeg) / 2
  const enough = (isCalibrated: boolean) => half >= toleranceDeg((highDeg + lowDeg) / 2, isCalibrated)
  if (enough(false)) return 'free'
  return enough(true) ? 'scaled' : 'unfit'
}

export const turnValue = (found: TurnFound, unit: AskedTurn['unit']): string =>
  unit === 'turns' ? inTurns(found) : found.value

/** '4°'; '0.07 turns' */
export function toleranceWords({ tolerance_mdeg }: TurnFound, unit: AskedTurn['unit']): string {
  return unit === 'turns'
    ? withUnit(inTurns({ mdeg: tolerance_mdeg }), unit)
    : `${rounded(tolerance_mdeg / 1000)}°`
}

/** One sensor's scale, about the axis on which it was found. */
export interface Scale {
  ppm: number
  axis: readonly [number, number, number]
  on: string
}

const SETTING = 'turn_scale'

export function readScale(text: string | null): Scale | null {
  if (text === null) return null
  const [ppm, x, y, z, on] = text.split(' ')
  const figures = [ppm, x, y, z].map(Number)
  if (
    !figures.every(Number.isInteger) ||
    on === undefined ||
    Math.abs(figures[0]!) > MOST_SCALE_PPM ||
    figures[0] === 0
  )
    return null
  return { ppm: figures[0]!, axis: [figures[1]!, figures[2]!, figures[3]!], on }
}

export const keptScale = async (store: Store): Promise<Scale | null> =>
  readScale(await store.setting(SETTING))

/** Keeps the scale of one whole turn, or says why it was none. */
export async function keepScale(store: Store, found: TurnFound, today: string): Promise<Scale | Refusal> {
  const ppm = scaleFromFullTurn(found)
  if (typeof ppm !== 'number') return ppm
  const scale: Scale = { ppm, axis: found.axis, on: today }
  await store.setSetting(SETTING, [ppm, ...found.axis, today].join(' '))
  return scale
}

/** What the row to the check says of it. */
export const scaleWords = ({ ppm, on }: Scale): string =>
  t(words.scaleChecked, { on, percent: Math.abs(ppm) / 10_000 })
