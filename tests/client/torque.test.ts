import { describe, expect, test } from 'vitest'
import { torqueAtFastenerNm, wrenchFits, wrenchSettingNm, type Wrench } from '@client/trade/torque'
import vectors from '../vectors/torque.json'

describe('a torque wrench', () => {
  test.each(vectors.settings)('$source', ({ torque, wrench, adaptor, angle_deg, setting, within }) => {
    const found = wrenchSettingNm(torque, wrench, adaptor, angle_deg)
    expect(Math.abs(found - setting)).toBeLessThanOrEqual(within)
    expect(torqueAtFastenerNm(found, wrench, adaptor, angle_deg)).toBeCloseTo(torque, 9)
  })

  test.each(vectors.wrenches)('$message', ({ wrench, setting_nm, today, code, message }) => {
    const { high_nm, low_nm, calibration_due, cycles } = wrench as { high_nm: number; low_nm?: number; calibration_due?: string; cycles?: number }
    const registered: Wrench = {
      highNm: high_nm,
      ...(low_nm === undefined ? {} : { lowNm: low_nm }),
      ...(calibration_due === undefined ? {} : { calibrationDue: calibration_due }),
      ...(cycles === undefined ? {} : { cycles }),
    }
    expect(wrenchFits(registered, setting_nm, today)).toMatchObject({ code, message, fits: code === 'wrench-fits' })
  })

  test('figures that cannot be are refused', () => {
    expect(() => wrenchSettingNm(25, 100, 100, 180)).toThrow('reaches back to the hand')
    expect(() => wrenchSettingNm(25, 0, 50)).toThrow(RangeError)
    expect(() => wrenchSettingNm(25, 400, -1)).toThrow(RangeError)
  })
})
