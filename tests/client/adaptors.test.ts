import { describe, expect, it } from 'vitest'
import { corrected, readUsual, withUsual } from '@client/work/adaptors'

const adaptor = (wrench_mm: number, adaptor_mm: number, angle_deg: number) => ({
  wrench_mm,
  adaptor_mm,
  angle_deg,
})

describe('a torque through an adaptor', () => {
  it('is set lower, and what the fastener gets is that of the setting as it can be set', () => {
    // 26 · 400 / 445 = 23.371: set 23.4, which gives 23.4 · 445 / 400.
    expect(corrected('26', adaptor(400, 45, 0))).toEqual({ setting: '23.4', fastener: '26.03' })
  })
  it('is the same at right angles, and lies between at 45 degrees', () => {
    expect(corrected('26', adaptor(400, 45, 90))).toEqual({ setting: '26', fastener: '26' })
    expect(corrected('26', adaptor(400, 45, 45))).toEqual({ setting: '24.1', fastener: '26.02' })
  })
  it('is set finer where little is asked for', () => {
    expect(corrected('4', adaptor(250, 60, 0))).toEqual({ setting: '3.25', fastener: '4.03' })
  })
})

describe('the usual lengths', () => {
  const one = { tool: 'TW-2', adaptor: adaptor(400, 45, 0) }
  const other = { tool: 'TW-2', adaptor: adaptor(400, 60, 90) }
  it('stand newest first, each once', () => {
    const kept = readUsual(withUsual(readUsual(withUsual(readUsual(withUsual([], one)), other)), one))
    expect(kept).toEqual([one, other])
  })
  it('are none where the store has none, or something else', () => {
    for (const text of [
      null,
      'x',
      '{}',
      '[{"tool":"TW-2"}]',
      '[null]',
      '[{"tool":"TW-2","adaptor":{"wrench_mm":"400"}}]',
    ])
      expect(readUsual(text)).toEqual([])
  })
})
