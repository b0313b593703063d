/** Where the wheels of a drive are drawn at the bench, and where they come to when they are dragged. */
import { expect, it } from 'vitest'
import {
  beltPath,
  boxOf,
  driveOf,
  moved,
  placeOf,
  rollerAt,
  toMm,
  withoutWheel,
  withPlaces,
  withWheelBehind,
} from '@client/screens/bench/drive-sketch'
import { readSource } from '@client/screens/bench/edits'
import { withAll } from '@client/screens/bench/structure'

const SOURCE = `drive:
  running: clockwise   # seen from the belt
  wheels:
    - {id: crank, at: [0, 0], side: inside, teeth: 20}
    - {id: roller, stud: [-50.0, 100], side: outside, diameter_mm: 60}   # measured twice
    - {id: cam, at: [10, 200], side: inside, teeth: 40}
`

// Two wheels of 50 mm, 200 mm apart: the belt runs along x = -50 and x = 50 (plane geometry, no source).
const FIT = {
  length_mm: '714.16',
  wheels: [
    {
      id: 'low',
      x_um: 0,
      y_um: 0,
      radius_um: 50_000,
      into_um: [50_000, 0],
      out_um: [-50_000, 0],
      wrap_deg: '180.0',
      teeth_in_mesh: null,
    },
    {
      id: 'high',
      x_um: 0,
      y_um: 200_000,
      radius_um: 50_000,
      into_um: [-50_000, 200_000],
      out_um: [50_000, 200_000],
      wrap_deg: '180.0',
      teeth_in_mesh: null,
    },
  ],
  angles_deg: [],
  counts: [],
  fault: null,
}

it('writes a dragged wheel back where it stands, comments kept', () => {
  const drive = driveOf(readSource(SOURCE)!)!
  const { path, point } = placeOf(moved(drive, 1, -52.04, 101.26), 1)
  expect(path).toEqual(['drive', 'wheels', 1, 'stud'])
  expect(point).toEqual(['-52', '101.3'])
  const after = withAll(SOURCE, [
    [[...path, 0], point[0]],
    [[...path, 1], point[1]],
  ])
  expect(after).toBe(SOURCE.replace('[-50.0, 100]', '[-52, 101.3]'))
})

it('reads no drive where wheels are none', () => {
  for (const text of ['drive: none', 'id: x', 'drive: {wheels: [1]}', 'drive: {wheels: none}'])
    expect(driveOf(readSource(text)!)).toBeNull()
})

it('finds the place under a finger, whatever the shape of the room', () => {
  const box = boxOf(FIT)
  expect(box).toEqual({ left: -95, top: -295, width: 190, height: 390 })
  const wide = { left: 10, top: 20, width: 1000, height: 390 }
  const [x, y] = toMm({ clientX: 10 + 500, clientY: 20 + 295 }, wide, box)
  expect([x, y + 0]).toEqual([0, 0])
  const tall = { left: 0, top: 0, width: 190, height: 1000 }
  expect(toMm({ clientX: 95, clientY: 500 }, tall, box)).toEqual([0, 100])
})

it('draws a wheel where it was moved to, though the belt fits no more', () => {
  const drive = {
    wheels: [
      { id: 'low', at: ['0', '0'] },
      { id: 'high', at: ['0', '200'] },
    ],
  } as const
  const after = withPlaces(FIT, drive, moved(drive, 1, 12.5, 190))
  expect(after.wheels.map(({ x_um, y_um }) => [x_um, y_um])).toEqual([
    [0, 0],
    [12_500, 190_000],
  ])
})

it('lays the belt round the outer sides of the wheels', () => {
  const drive = { running: 'clockwise', wheels: [{ id: 'low' }, { id: 'high' }] }
  expect(beltPath(FIT, drive)).toBe('M50 0A50 50 0 0 1 -50 0L-50 -200A50 50 0 0 1 50 -200Z')
})

it('puts a roller on the back of the belt in the middle of a span, whichever way it runs', () => {
  const wheels = [
    { id: 'low', at: ['0', '0'] },
    { id: 'high', at: ['0', '200'] },
  ] as const
  // The belt runs up at x = -50: its back is on the left, and 5 mm are pressed in (plane geometry, no source).
  expect(rollerAt({ running: 'clockwise', wheels }, FIT, 0)).toEqual({
    at: ['-75', '100'],
    diameter_mm: '60',
  })
  expect(rollerAt({ running: 'clockwise', wheels }, FIT, 1)).toEqual({ at: ['75', '100'], diameter_mm: '60' })
  // Where nothing fits yet it stands between the wheels.
  expect(rollerAt({ running: 'anticlockwise', wheels }, null, 0)).toEqual({
    at: ['25', '100'],
    diameter_mm: '60',
  })
})

it('adds a wheel behind another and takes it out again: the text is as it was, comments kept', () => {
  const source = `${SOURCE}  order: [crank, cam, roller]   # by hand\n`
  const drive = driveOf(readSource(source)!)!
  const after = withWheelBehind(source, drive, null, 1, 'ROLLER')!
  const now = driveOf(readSource(after)!)!
  expect(now.wheels.map(({ id }) => id)).toEqual(['crank', 'roller', 'roller_2', 'cam'])
  expect(now.wheels[2]).toMatchObject({ label: 'ROLLER', side: 'outside' })
  expect(after).toContain('[crank, cam, roller, roller_2]   # by hand')
  expect(withoutWheel(after, now, 2)).toBe(source)
  expect(withoutWheel(source, drive, 1)).not.toContain('roller')
  expect(withWheelBehind('drive: [', drive, null, 0, 'ROLLER')).toBeNull()
})
