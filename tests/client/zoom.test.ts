/** A photo through a stage: what is under the finger stays there, and no photo is lost from sight. */
import { describe, expect, it } from 'vitest'
import { isLargerThanWhole, moved, scaledAt, whole } from '@client/work/zoom'

const PHOTO = { width: 4000, height: 3000 }
const STAGE = { width: 800, height: 800 }

describe('a photo on its stage', () => {
  it('is seen whole, in the middle', () => {
    expect(whole(PHOTO, STAGE)).toEqual({ scale: 0.2, x: 0, y: 100 })
    expect(whole({ width: 80, height: 60 }, STAGE)).toEqual({ scale: 1, x: 360, y: 370 })
  })

  it('keeps what lies under a point where it is, however it is scaled', () => {
    const at = { x: 300, y: 450 }
    const on = (view: { scale: number; x: number; y: number }) => ({
      x: (at.x - view.x) / view.scale,
      y: (at.y - view.y) / view.scale,
    })
    const before = scaledAt(whole(PHOTO, STAGE), 0.9, { x: 400, y: 400 }, PHOTO, STAGE)
    for (const scale of [0.5, 1, 3.7]) {
      const after = scaledAt(before, scale, at, PHOTO, STAGE)
      expect(on(after).x).toBeCloseTo(on(before).x, 6)
      expect(on(after).y).toBeCloseTo(on(before).y, 6)
      expect(after.scale).toBe(scale)
    }
  })

  it('is never smaller than whole, nor a field of blocks', () => {
    const at = { x: 0, y: 0 }
    expect(scaledAt(whole(PHOTO, STAGE), 0.01, at, PHOTO, STAGE)).toEqual(whole(PHOTO, STAGE))
    expect(scaledAt(whole(PHOTO, STAGE), 99, at, PHOTO, STAGE).scale).toBe(8)
  })

  it('covers the stage wherever it is pulled', () => {
    const full = scaledAt(whole(PHOTO, STAGE), 1, { x: 400, y: 400 }, PHOTO, STAGE)
    expect(moved(full, { x: 9e9, y: 9e9 }, PHOTO, STAGE)).toEqual({ scale: 1, x: 0, y: 0 })
    expect(moved(full, { x: -9e9, y: -9e9 }, PHOTO, STAGE)).toEqual({ scale: 1, x: -3200, y: -2200 })
    expect(moved(whole(PHOTO, STAGE), { x: 50, y: 50 }, PHOTO, STAGE)).toEqual(whole(PHOTO, STAGE))
  })

  it('says whether there is more of it than is seen', () => {
    const view = whole(PHOTO, STAGE)
    expect(isLargerThanWhole(view, PHOTO, STAGE)).toBe(false)
    expect(isLargerThanWhole({ ...view, scale: 0.3 }, PHOTO, STAGE)).toBe(true)
  })
})
