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
    const { high_nm, low_nm, calibration_due, cycles } = wrench as {
      high_nm: number
      low_nm?: number
      calibration_due?: string
      cycles?: number
    }
    const registered: Wrench = {
      highNm: high_nm,
      ...(low_nm === undefined ? {} : { lowNm: low_nm }),
      ...(calibration_due === undefined ? {} : { calibrationDue: calibration_due }),
      ...(cycles === undefined ? {} : { cycles }),
    }
    expect(wrenchFits(registered, setting_nm, today)).toMatchObject({
      code,
      message,
      fits: code === 'wrench-fits',
    })
  })

  test('figures that cannot be are refused', () => {
    expect(() => wrenchSettingNm(25, 100, 100, 180)).toThrow('reaches back to the hand')
    expect(() => wrenchSettingNm(25, 0, 50)).toThrow(RangeError)
    expect(() => wrenchSettingNm(25, 400, -1)).toThrow(RangeError)
    expect(() => wrenchSettingNm(25, 400, 50, 1000)).toThrow('the angle must be -360 to 360')
    expect(() => wrenchSettingNm(25, 400, 50, Number.NaN)).toThrow('the angle must be -360 to 360')
  })

  test('is not fit for what is no number', () => {
    const good = { highNm: 100, lowNm: 10, calibrationDue: '2027-02-01' }
    for (const nothing of [Number.NaN, Infinity, -Infinity, -1, 0])
      expect(wrenchFits(good, nothing, '2026-11-24').fits).toBe(false)
  })
})
