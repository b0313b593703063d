/** The scale a figure is moved on: what it reaches, and when the figure is typed instead. Windows of the demo jobs. */
import { describe, expect, it } from 'vitest'
import { isDecimal } from '@client/procedure/decimals'
import { dialOf, figureAt } from '@client/work/dial'
import { hasSign, judge } from '@client/work/limits'

const reading = (limits: { low?: string; high?: string; target?: string }) => ({ kind: 'reading', ...limits })
const WINDOWS = [
  reading({ low: '41.2', high: '41.8', target: '41.5' }),
  reading({ low: '1.15', high: '1.2' }),
  reading({ low: '0', high: '0.5' }),
  reading({ low: '8', high: '60', target: '12' }),
  reading({ high: '40' }),
  reading({ low: '-37', high: '-25' }),
]

describe('the scale of a figure', () => {
  it('has every figure of the window on it, and some outside on either side that can be', () => {
    for (const proof of WINDOWS) {
      const dial = dialOf(proof)!
      const figures = Array.from({ length: dial.to - dial.from + 1 }, (_, at) =>
        figureAt(dial, dial.from + at),
      )
      expect(figures.every(isDecimal)).toBe(true)
      expect(figures.map((figure) => judge(figure, proof))).toContain('above')
      for (const limit of [proof.low, proof.high])
        if (limit !== undefined) expect(figures.map(Number)).toContain(Number(limit))
      if (Number(proof.low) > 0) expect(figures.map((figure) => judge(figure, proof))).toContain('below')
    }
  })

  it('reaches below nothing only where the window does', () => {
    expect(dialOf(WINDOWS[2]!)!.from).toBe(0)
    expect(figureAt(dialOf(WINDOWS[5]!)!, 0)).toBe('0')
    expect(dialOf(WINDOWS[5]!)!.from).toBeLessThan(-37)
  })

  it('lets a temperature below nought be typed, whatever its window is', () => {
    expect(hasSign({ high: '35', unit: '°C' })).toBe(true)
    expect(hasSign({ high: '-25' })).toBe(true)
    expect(hasSign({ low: '0', high: '0.5', unit: 'mm' })).toBe(false)
  })

  it('is none for a count, for one figure, for no window, and where a finger cannot tell its marks apart', () => {
    expect(dialOf({ kind: 'count', target: '39' })).toBeNull()
    expect(dialOf(reading({ low: '2', high: '2' }))).toBeNull()
    expect(dialOf(reading({}))).toBeNull()
    expect(dialOf(reading({ low: '100.00', high: '110.00' }))).toBeNull()
  })
})
