/** A part of a picture and an arrow on it, as they are drawn with a finger. */
import { expect, it } from 'vitest'
import { arrowBetween, cropBetween } from '@client/screens/bench/marks-on-picture'

it('cuts out what lies between two corners, whichever comes first', () => {
  const cut = { left_percent: 10, top_percent: 20, width_percent: 50, height_percent: 40 }
  expect(cropBetween({ x: 10, y: 20 }, { x: 60, y: 60 })).toEqual(cut)
  expect(cropBetween({ x: 60, y: 20 }, { x: 10, y: 60 })).toEqual(cut)
  expect(cropBetween({ x: 10, y: 20 }, { x: 60, y: 24 })).toBeNull()
})

it.each([
  [{ x: 60, y: 50 }, 0],
  [{ x: 50, y: 40 }, 90],
  [{ x: 40, y: 50 }, 180],
  [{ x: 50, y: 60 }, 270],
])('points from the tail to the tip: %o is %d degrees', (tip, angle_deg) => {
  expect(arrowBetween({ x: 50, y: 50 }, tip, 2)).toEqual({ x_percent: tip.x, y_percent: tip.y, angle_deg })
})

it('takes the shape of the picture into account, and a tap for nothing', () => {
  // On a picture twice as wide as it is high ten hundredths across are twice as long as ten down.
  expect(arrowBetween({ x: 50, y: 50 }, { x: 60, y: 40 }, 2)!.angle_deg).toBe(27) // atan(1 / 2)
  expect(arrowBetween({ x: 50, y: 50 }, { x: 50, y: 50 }, 2)).toBeNull()
})
