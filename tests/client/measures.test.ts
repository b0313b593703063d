import { describe, expect, test } from 'vitest'
import type { Point } from '@client/instruments/marks'
import type { TurnFound } from '@client/instruments/turn'
import type { Proof } from '@client/procedure/bundle'
import {
  askNow,
  countWords,
  lookAt,
  marksOf,
  placesOf,
  zoomOf,
  type Tapped,
} from '@client/screens/bay/proofs/marks-taps'
import {
  askedTurn,
  fitOf,
  keepScale,
  readScale,
  toleranceWords,
  turnValue,
} from '@client/screens/bay/proofs/turn-scale'
import type { Store } from '@client/store'
import vectors from '../vectors/marks.json'

const reading = (more: Partial<Proof>): Proof => ({ name: 'read', kind: 'reading', label: 'read', ...more })

describe('the taps on a photo', () => {
  const sheetOf = (name: string) => vectors.cases.find((found) => found.name === name)!.sheet
  const wheelOf = ({ width, height, teeth }: ReturnType<typeof sheetOf>) => ({ width, height, teeth })
  /** As they are tapped: two looks, each place once, mark and pointer twice, 4 hundredths to either side. */
  const tapsOf = ({ taps }: ReturnType<typeof sheetOf>): Point[] => {
    const at = (name: 'hub' | 'tip_a' | 'tip_b' | 'mark' | 'pointer', aside = 0): Point => [
      taps[name][0]! + aside,
      taps[name][1]!,
    ]
    const far = ((taps as { far?: number[][] }).far ?? []).map(([x, y]): Point => [x!, y!])
    return [
      at('hub', 900),
      at('tip_a', -900),
      at('hub'),
      at('tip_a'),
      at('tip_b'),
      at('mark', 4),
      at('mark', -4),
      at('pointer', 4),
      at('pointer', -4),
      ...far,
    ]
  }
  const square = sheetOf('camera 5 degrees off, five taps without a finger')
  const leaning = sheetOf('camera 10 degrees off, seven taps without a finger')

  test('are asked for one after another, and the last can be taken back', () => {
    const all = tapsOf(square)
    const asked = all.map((_, i) => askNow(all.slice(0, i), wheelOf(square)))
    expect(asked.map((ask) => ask?.whole)).toEqual([true, true, ...Array<boolean>(7).fill(false)])
    expect(asked[4]?.says).toContain('Count 8 teeth on')
    expect(asked.slice(5).map((ask) => ask?.once)).toEqual([true, false, true, false])
    expect(asked.slice(2).map((_, i) => countWords(all.slice(0, i + 2)))).toEqual([
      '1 of 7',
      '2 of 7',
      '3 of 7',
      '4 of 7',
      '5 of 7',
      '6 of 7',
      '7 of 7',
    ])
    expect(askNow(all, wheelOf(square))).toBeNull()
    expect(askNow(all.slice(0, -1), wheelOf(square))).toEqual(asked[8])
  })

  test('come to the value of the vectors, with the middle of two looks', () => {
    expect(placesOf(tapsOf(square)).mark).toEqual(square.taps.mark)
    const { taken, result } = marksOf(tapsOf(square), wheelOf(square))!
    expect(result).toMatchObject({ ok: true, value: '0.90' })
    expect(taken.zoom_milli).toBe(Math.round(1000 * zoomOf(tapsOf(square))))
    expect(marksOf(tapsOf(square).slice(0, 8), wheelOf(square))).toBeNull()
  })

  test('go on to the far side where five do not tell the tilt', () => {
    const all = tapsOf(leaning)
    const five = all.slice(0, 9)
    expect(askNow(five, wheelOf(leaning))?.title).toBe('Cross on a far tooth tip')
    expect(countWords(five)).toBe('8 of 9')
    expect(askNow(all.slice(0, 10), wheelOf(leaning))?.title).toBe('Cross on another far tip')
    expect(askNow(all, wheelOf(leaning))).toBeNull()
    expect(marksOf(all, wheelOf(leaning))!.result).toMatchObject({ ok: true, value: '0.90' })
  })

  test('begin where the thing is likely to be, and aside of it the second time', () => {
    const all = tapsOf(leaning)
    const near = (tapped: Tapped, place: Point, pixels: number) =>
      expect(Math.hypot(lookAt(tapped)[0] - place[0], lookAt(tapped)[1] - place[1]) / 100).toBeLessThan(
        pixels,
      )
    near(all.slice(0, 2), all[0]!, 1)
    near(all.slice(0, 3), all[1]!, 1)
    const radius = Math.hypot(all[3]![0] - all[2]![0], all[3]![1] - all[2]![1]) / 100
    near(all.slice(0, 5), all[5]!, radius / 4)
    near(all.slice(0, 9), all[9]!, radius / 3)
    expect(lookAt(all.slice(0, 6))).not.toEqual(all[5])
  })
})

describe('what a proof asks of the gyro', () => {
  const asked = (unit: string, low: string, high: string) => askedTurn(reading({ unit, low, high }))
  test.each([
    ['°', '85', '95', 'free'],
    ['°', '92', '98', 'scaled'],
    ['°', '715', '725', 'unfit'],
    ['turns', '1.9', '2.1', 'free'],
    ['turns', '1.95', '2.05', 'scaled'],
    ['turns', '1.99', '2.01', 'unfit'],
  ])('%s %s to %s: %s', (unit, low, high, fit) => {
    expect(fitOf(asked(unit, low, high))).toBe(fit)
  })

  const found: TurnFound = {
    ok: true,
    mdeg: 354_000,
    value: '354.0',
    tolerance_mdeg: 12_800,
    sense: 'clockwise',
    axis: [0, 10, -1000],
    is_calibrated: false,
    message: '',
  }
  test('is told in its own unit', () => {
    expect([turnValue(found, '°'), turnValue(found, 'turns')]).toEqual(['354.0', '0.98'])
    expect([toleranceWords(found, '°'), toleranceWords(found, 'turns')]).toEqual(['13°', '0.04 turns'])
  })

  test('is truer with the scale of one whole turn, which is kept with its axis and day', async () => {
    const kept: string[] = []
    const store = {
      setSetting: (_: string, text: string) => Promise.resolve(void kept.push(text)),
    } as unknown as Store
    const scale = await keepScale(store, found, '2026-11-25')
    expect(scale).toEqual({ ppm: 16_949, axis: [0, 10, -1000], on: '2026-11-25' })
    expect(kept.map(readScale)).toEqual([scale])
    expect(await keepScale(store, { ...found, mdeg: 300_000, value: '300.0' }, '2026-11-25')).toMatchObject({
      ok: false,
      code: 'no-full-turn',
    })
    expect(kept).toHaveLength(1)
  })

  test.each([
    null,
    '',
    '1.5 0 0 0 2026-11-25',
    '0 0 0 1000 2026-11-25',
    '60000 0 0 1000 2026-11-25',
    '12 0 0 1000',
  ])('takes %j for no scale', (text) => {
    expect(readScale(text)).toBeNull()
  })
})
