import { describe, expect, test } from 'vitest'
import { measureMarks, type MarksTaken } from '@client/instruments/marks'
import {
  asTaps,
  between,
  loupe,
  loupeZoom,
  marksSheet,
  onPhoto,
  TAPS_ASKED,
  zoomMilli,
} from '@client/instruments/marks-sheet'
import vectors from '../vectors/marks.json'

const taken = (name: string) =>
  vectors.cases.find((found) => found.name === name)!.sheet as unknown as MarksTaken

describe('the angle between two marks', () => {
  test.each(vectors.cases)('$name', ({ sheet, expect: expected }) => {
    const found = measureMarks(sheet as unknown as MarksTaken)
    const { teeth_milli, tilt_mdeg, ...exact } = expected as Record<string, unknown>
    expect(found).toMatchObject(exact)
    if (!found.ok) return
    expect(Math.abs(found.teeth_milli - Number(teeth_milli))).toBeLessThanOrEqual(1)
    expect(Math.abs(found.tilt_mdeg - Number(tilt_mdeg))).toBeLessThanOrEqual(2)
  })

  test('a finger on the loupe hits the photo where the photo lies', () => {
    const screen = { width: 360, height: 480 }
    const view = loupe([123400, 98700], 2.5, screen)
    expect(onPhoto(view, 180, 240)).toEqual([123400, 98700])
    expect(onPhoto(view, 180 + 25, 240 - 10)).toEqual([124400, 98300])
    expect(zoomMilli(view)).toBe(2500)
  })

  test('the loupe makes a wheel large enough where it can', () => {
    const zoom = loupeZoom([200000, 150000], [200000, 135000])
    expect(150 * zoom).toBeGreaterThanOrEqual(300)
    expect(loupeZoom([200000, 150000], [200000, 148000])).toBe(4)
    expect(1000 * loupeZoom([200000, 150000], [200000, 50000])).toBe(405)
  })

  test('taps are ready when five are there, and the far ones count as a pair', () => {
    const all = Object.fromEntries(TAPS_ASKED.map(({ name }, i) => [name, [i, i] as const]))
    expect(asTaps({ ...all, mark: undefined } as never)).toBeNull()
    const { far_b: _, ...six } = all
    expect(asTaps(six)).not.toHaveProperty('far')
    expect(asTaps(all)?.far).toEqual([
      [5, 5],
      [6, 6],
    ])
    expect(between([10, 20], [13, 21])).toEqual([12, 21])
  })

  test('the sheet gives the value again', () => {
    const found = measureMarks(taken('flat on, one tooth clockwise'))
    if (!found.ok) throw new Error(found.message)
    const sheet = marksSheet('a'.repeat(64), taken('flat on, one tooth clockwise'), found)
    expect(sheet).toMatchObject({
      v: 1,
      by: 'marks',
      edition: 1,
      photo: 'a'.repeat(64),
      teeth: 40,
      span: 10,
      teeth_milli: 1000,
    })
    expect(measureMarks(sheet)).toEqual(found)
  })
})
