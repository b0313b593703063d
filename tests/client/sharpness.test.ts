import { describe, expect, test } from 'vitest'
import { Gauge, type Quality } from '@client/instruments/sharpness'
import { advise, compareShots } from '@client/instruments/shot-advice'
import vectors from '../vectors/sharpness.json'

interface Case {
  name: string
  width?: number
  height?: number
  channels?: number[][]
  quality: Quality | null
  code: string | null
}
const cases = vectors.cases as Case[]

function draw(width: number, height: number, channels: number[][]): Uint8ClampedArray {
  const rgba = new Uint8ClampedArray(width * height * 4)
  const value = ([a, b, c, d, e, f, m]: number[], x: number, y: number) =>
    Math.min(255, (a! * x * x + b! * y * y + c! * x * y + d! * x + e! * y + f!) % m!)
  for (let i = 0; i < width * height; i += 1) {
    const [x, y] = [i % width, Math.floor(i / width)]
    rgba.set([...channels.map((channel) => value(channel, x, y)), 255], 4 * i)
  }
  return rgba
}

const quality = (sharp_tenths: number, mean = 120, blown_permille = 0): Quality => ({
  sharp_tenths,
  mean,
  blown_permille,
})

describe('sharpness and light of a photo', () => {
  test.each(cases)('$name', ({ width, height, channels, quality: told, code }) => {
    if (width && height && channels) {
      const gauge = Gauge.of(width, height)
      gauge?.add(draw(width, height, channels))
      expect(gauge?.quality() ?? null).toEqual(told)
    }
    if (told) expect(advise(told).code).toBe(code)
  })

  test('a picture with a row missing has no figures', () => {
    const gauge = Gauge.of(600, 400)!
    gauge.add(new Uint8ClampedArray(600 * 399 * 4))
    expect(() => gauge.quality()).toThrow('the picture has 400 rows, 399 came')
  })

  test('every advice but the good one says what to do, and none locks', () => {
    for (const shot of [quality(100), quality(300), quality(500, 20), quality(500, 200, 300)]) {
      expect(advise(shot).hint).not.toBe('')
      expect(['warn', 'retake']).toContain(advise(shot).verdict)
    }
    expect(advise(quality(500))).toMatchObject({ verdict: 'ok', hint: '' })
  })

  test('a retake is compared with the shot before', () => {
    expect(compareShots(quality(200), quality(221))).toEqual({
      better: 'after',
      message: 'Sharper than the shot before.',
    })
    expect(compareShots(quality(221), quality(200)).better).toBe('before')
    expect(compareShots(quality(200), quality(220)).better).toBe('alike')
    // A dark shot may look sharp by its noise.
    expect(compareShots(quality(400, 30), quality(260))).toEqual({
      better: 'after',
      message: 'Better lit than the shot before.',
    })
    expect(compareShots(quality(260), quality(400, 200, 300)).better).toBe('before')
  })
})
