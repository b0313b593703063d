/** Our drawings of what a step is about: read as a browser reads them, they stay on their sheet. */
import { expect, it } from 'vitest'
import { DRAWING_NAMES, strokesOf } from '@client/parts/drawings'

const [LEFT, TOP, RIGHT, BOTTOM] = [-2, -8, 122, 102]

/** Where a path leads, point by point: SVG 2, chapter 9 (the ends of its curves; the sheet has room for their bows). */
function* points(path: string): Generator<[number, number]> {
  let [x, y] = [0, 0]
  let start: [number, number] = [0, 0]
  for (const [, letter, rest] of path.matchAll(/([A-Za-z])([^A-Za-z]*)/g)) {
    const figures = [...rest!.matchAll(/-?(\d+(\.\d+)?|\.\d+)/g)].map(([figure]) => Number(figure))
    const size = { M: 2, L: 2, H: 1, V: 1, Q: 4, T: 2, C: 6, A: 7, Z: 0 }[letter!.toUpperCase()]
    expect(size, `${letter} in ${path}`).toBeDefined()
    expect(size === 0 ? figures.length : figures.length % size!, `${letter}${rest} in ${path}`).toBe(0)
    if (size === 0) [x, y] = start
    const isRelative = letter === letter!.toLowerCase()
    for (let at = 0; at < figures.length; at += size!) {
      const [a, b] = figures.slice(at, at + size!).slice(-2) as [number, number]
      const [ox, oy] = isRelative ? [x, y] : [0, 0]
      if (letter!.toUpperCase() === 'H') x = ox + a
      else if (letter!.toUpperCase() === 'V') y = oy + a
      else [x, y] = [ox + a, oy + b]
      if (letter!.toUpperCase() === 'M' && at === 0) start = [x, y]
      yield [x, y]
    }
  }
}

it.each(DRAWING_NAMES)('%s is drawn whole on its sheet, and shows what to do or where to look', (name) => {
  const strokes = strokesOf(name)
  expect(strokes.some((stroke) => 'ab'.includes(stroke[0]!))).toBe(true)
  for (const stroke of strokes) {
    expect('pgikdab').toContain(stroke[0])
    const [cx, cy, r] = stroke.slice(2).split(' ').map(Number)
    const found: [number, number][] =
      stroke[1] === '@'
        ? [
            [cx! - r!, cy! - r!],
            [cx! + r!, cy! + r!],
          ]
        : [...points(stroke.slice(1))]
    expect(found.length).toBeGreaterThan(0)
    for (const [x, y] of found) {
      expect(x >= LEFT && x <= RIGHT, `${stroke}: ${x}`).toBe(true)
      expect(y >= TOP && y <= BOTTOM, `${stroke}: ${y}`).toBe(true)
    }
  }
})

it('draws nothing for a word that only a newer app knows', () => {
  expect(strokesOf('constructor')).toEqual([])
  expect(strokesOf('moon')).toEqual([])
})
