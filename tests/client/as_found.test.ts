/** A wrench that was found out, by the vectors that the server holds too; and a table for a spreadsheet. */
import { describe, expect, it } from 'vitest'
import {
  delivered,
  distrustedBy,
  foundOut,
  isGood,
  isWithin,
  judged,
  really,
  shown,
  worst,
  type Point,
} from '@client/trade/as-found'
import { csvText } from '@client/work/csv'
import vectors from '../vectors/as_found.json'

const pointOf = ([nominal, found, direction]: readonly (string | number)[]): Point => ({
  nominal: nominal as number,
  found: found as number,
  ...(direction === undefined ? {} : { direction: direction as string }),
})

describe('a wrench that was found out', () => {
  it.each(vectors.points)('$source', ({ allowed_percent, is_within, ...point }) => {
    expect(isWithin(point, allowed_percent)).toBe(is_within)
  })
  it.each(vectors.delivered)('$source', ({ points, setting, delivered: expected }) => {
    const found = delivered(points.map(pointOf), setting)
    if (expected === null) expect(found).toBeNull()
    else expect(found).toBeCloseTo(expected, 9)
  })
  it.each(vectors.shown)('$source', ({ points, read, really: expected, allowed, is_good }) => {
    const found = really(points.map(pointOf), read)
    if (expected === null) expect(found).toBeNull()
    else expect(found).toBeCloseTo(expected, 9)
    const made = {
      id: 'c',
      on: '2026-11-24',
      unit: '°C',
      points: points.map(pointOf),
      allowedPercent: 0,
      allowed,
    }
    expect(isGood(made)).toBe(is_good)
  })
  it.each(vectors.judged)('$source', ({ value, actual, low, high, verdict, beyond }) => {
    const found = judged(value, actual, low, high)
    expect(found.verdict).toBe(verdict)
    expect(found.beyond).toBeCloseTo(beyond, 9)
  })
  it.each(vectors.found_out)('$source', ({ checks, days, distrusted_by }) => {
    const made = checks.map(([id, on, good]) => ({
      id: id as string,
      on: on as string,
      unit: 'N·m',
      points: [{ nominal: 20, found: good ? 20 : 18.2 }],
      allowedPercent: 4,
    }))
    expect(made.map(isGood)).toEqual(checks.map(([, , good]) => good))
    for (const [day, expected] of Object.entries(days))
      expect(foundOut(made, day)?.id ?? null, day).toBe(expected)
    expect(distrustedBy(made)?.id ?? null).toBe(distrusted_by)
  })
  it('says its worst point, and figures as the server rounds them', () => {
    expect(
      worst([
        { nominal: 20, found: 19 },
        { nominal: 60, found: 66 },
      ]),
    ).toEqual({ nominal: 60, found: 66 })
    expect([23.66, 23.665, 0.005, 9].map(shown)).toEqual(['23.66', '23.67', '0.01', '9'])
  })
})

describe('a table for a spreadsheet', () => {
  it('is RFC 4180, section 2: its own examples', () => {
    expect(
      csvText([
        ['aaa', 'bbb', 'ccc'],
        ['a,b', 'b\r\nbb', 'b"bb'],
      ]).slice(1),
    ).toBe('aaa,bbb,ccc\r\n"a,b","b\r\nbb","b""bb"\r\n')
  })
  it('begins with the mark of UTF-8 and runs nothing', () => {
    const evil = ['=1+1', '+1+1', '-1+1', '@SUM(1)', '\tx', '\rx', '\nx', '＝1', '＋1', '－1', '＠x']
    const rows = csvText(evil.map((cell) => [cell, 'end']))
    expect(rows.startsWith('\ufeff')).toBe(true)
    for (const cell of evil) expect(rows).toContain(`'${cell}`)
  })
  it('leaves a plain number a number', () => {
    expect(csvText([['-9', '-0.5', '12', '+49 30']]).slice(1)).toBe("-9,-0.5,12,'+49 30\r\n")
  })
})
