/**
 * What to set on a torque wrench, and whether a wrench may be used for a value at all.
 * The twin of `server/twoturns/trade/torque.py`, which names the sources.
 */

import * as words from '../words/en/trade/torque'
import { t } from '../words/message'

const CYCLES_PER_CALIBRATION = 5000
const LOWEST_PART = 0.2 // of the largest value, where no lowest mark is known

/**
 * What to set so that the fastener gets a torque through an adaptor: T·L / (L + E·cos a).
 *
 * @param wrenchMm from the middle of the hand to the middle of the square
 * @param adaptorMm from the middle of the square to the middle of the fastener
 * @param angleDeg between adaptor and wrench axis: 0 lengthens, 90 changes nothing, 180 shortens
 * @throws {RangeError} a figure that cannot be, or an adaptor that reaches back to the hand
 */
export function wrenchSettingNm(torqueNm: number, wrenchMm: number, adaptorMm: number, angleDeg = 0): number {
  return torqueNm / gain(torqueNm, wrenchMm, adaptorMm, angleDeg)
}

/** What the fastener gets when the wrench clicks: the way back of the same formula. */
export function torqueAtFastenerNm(
  settingNm: number,
  wrenchMm: number,
  adaptorMm: number,
  angleDeg = 0,
): number {
  return settingNm * gain(settingNm, wrenchMm, adaptorMm, angleDeg)
}

function gain(torqueNm: number, wrenchMm: number, adaptorMm: number, angleDeg: number): number {
  for (const value of [torqueNm, wrenchMm])
    if (!(Number.isFinite(value) && value > 0))
      throw new RangeError(`torque and wrench must be finite and above zero, got ${value}`)
  if (!(Math.abs(angleDeg) <= 360))
    throw new RangeError(`the angle must be -360 to 360 degrees, got ${angleDeg}`)
  if (!(Number.isFinite(adaptorMm) && adaptorMm >= 0))
    throw new RangeError(`adaptor must be finite and not below zero, got ${adaptorMm}`)
  const armMm = wrenchMm + adaptorMm * Math.cos((angleDeg * Math.PI) / 180)
  if (armMm <= 0) throw new RangeError(`an adaptor of ${adaptorMm} mm reaches back to the hand`)
  return armMm / wrenchMm
}

/** A registered wrench. The date is YYYY-MM-DD; `lowNm` is its lowest mark, `cycles` its clicks since the calibration, both if known. */
export interface Wrench {
  highNm: number
  lowNm?: number
  calibrationDue?: string
  cycles?: number
}

export interface WrenchResult {
  code:
    | 'wrench-fits'
    | 'wrench-below'
    | 'wrench-above'
    | 'wrench-uncalibrated'
    | 'wrench-due'
    | 'wrench-cycles'
  fits: boolean
  message: string
  hint: string
}

const CALIBRATE = t(words.haveItCalibrated)

/** Judge the calibration alone, of a wrench or of any other tool that measures. */
export function calibrationFits(
  { calibrationDue: due, cycles = 0 }: Pick<Wrench, 'calibrationDue' | 'cycles'>,
  today: string,
): WrenchResult {
  if (due === undefined)
    return {
      code: 'wrench-uncalibrated',
      fits: false,
      message: t(words.wrenchUncalibrated),
      hint: CALIBRATE,
    }
  if (today > due)
    return { code: 'wrench-due', fits: false, message: t(words.wrenchDue, { due }), hint: CALIBRATE }
  if (cycles >= CYCLES_PER_CALIBRATION)
    return {
      code: 'wrench-cycles',
      fits: false,
      message: t(words.wrenchCycles, { cycles }),
      hint: CALIBRATE,
    }
  return {
    code: 'wrench-fits',
    fits: true,
    message: t(words.wrenchFits),
    hint: t(words.wrenchFitsHint, { due }),
  }
}

/**
 * Judge a wrench for a setting: its range first, then its calibration, date and cycles.
 *
 * @param settingNm what is set on it: with an adaptor, the corrected value
 * @param today YYYY-MM-DD; a wrench is good through the day it is due
 */
export function wrenchFits(wrench: Wrench, settingNm: number, today: string): WrenchResult {
  const lowNm = wrench.lowNm ?? wrench.highNm * LOWEST_PART
  const span = t(words.range, { lowNm: shown(lowNm), highNm: shown(wrench.highNm) })
  if (!(settingNm >= lowNm && settingNm <= wrench.highNm)) {
    // as it stands, so that no NaN passes
    const [code, side] =
      settingNm > wrench.highNm ? (['wrench-above', 'above'] as const) : (['wrench-below', 'below'] as const)
    return {
      code,
      fits: false,
      message: t(words.outsideRange, { settingNm: shown(settingNm), side, span }),
      hint: t(words.outsideRangeHint),
    }
  }
  const calibration = calibrationFits(wrench, today)
  return calibration.fits
    ? { ...calibration, message: t(words.withinRange, { settingNm: shown(settingNm), span }) }
    : calibration
}

/** One decimal at most, halves upward as the server rounds them. */
const shown = (nm: number) => String(Math.floor(nm * 10 + 0.5) / 10)
