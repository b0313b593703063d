import { beforeAll, describe, expect, test } from 'vitest'
import { estimate, nearRange, type Pluck } from '@client/instruments/pluck'
import { CLIP_HZ } from '@client/instruments/pluck-front'
import { Resampler } from '@client/instruments/pluck-rate'
import { type Heard, NEW_SESSION, type Session, take, troubleOf } from '@client/instruments/pluck-session'
import { pluckReading } from '@client/instruments/pluck-sheet'
import { Watch, type WatchEvent } from '@client/instruments/pluck-watch'
import { BadWav, quantized, readWav, writeWav } from '@client/instruments/pluck-wav'

const WINDOW = { low: '80.0', high: '100.0', nominal: '90.0' }
const NEAR = nearRange(80, 100, 90)

/** Numbers in 0 to 1, the same each time: Park and Miller's generator, CACM 31 (1988) 1195. */
function chance(seed: number): () => number {
  let state = seed
  return () => (state = (state * 48_271) % 2_147_483_647) / 2_147_483_647
}

/** A quiet noise in which spans are plucked: [second, Hz]; Q 12, three modes. */
function workshop(seconds: number, plucks: [at: number, hz: number][], rateHz = CLIP_HZ): Float64Array {
  const random = chance(7)
  const sound = Float64Array.from({ length: seconds * rateHz }, () => 0.004 * (random() - 0.5))
  for (const [at, hz] of plucks) {
    const from = Math.round(at * rateHz)
    for (let i = from; i < Math.min(sound.length, from + rateHz); i++) {
      const t = (i - from) / rateHz
      for (const n of [1, 2, 3])
        sound[i]! += (0.3 / n) * Math.exp((-Math.PI * n * hz * t) / 12) * Math.sin(2 * Math.PI * n * hz * t)
    }
  }
  return sound
}

const heard = (hz: number, reject: Pluck['reject'] = null): Heard => {
  const comb = { hz, q: 12, b: 0.001, score: 0.9 }
  const pluck: Pluck = {
    reject,
    strength: 40,
    comb,
    blind: comb,
    lags: [hz, hz, hz],
    onsetS: 0.8,
    isClipped: false,
  }
  return { pluck, clip: new Int16Array(10) }
}

const after = (...plucks: Heard[]): Session =>
  plucks.reduce((session, pluck) => take(session, pluck, WINDOW), NEW_SESSION)

/** The browser's pieces: 2,048 samples each. */
function listened(sound: Float64Array, watch = new Watch(NEAR)): Extract<WatchEvent, { kind: 'pluck' }>[] {
  const events: WatchEvent[] = []
  for (let from = 0; from < sound.length; from += 2_048)
    events.push(...watch.push(sound.subarray(from, from + 2_048)))
  return events.filter((event) => event.kind === 'pluck')
}

describe('one pluck', () => {
  test('is heard, with how long it rings', () => {
    const { reject, comb, onsetS, isClipped } = estimate(workshop(2, [[0.5, 88.3]]), NEAR)
    expect(reject).toBeNull()
    expect(Math.abs(comb!.hz / 88.3 - 1)).toBeLessThan(0.004)
    expect(comb!.q).toBeGreaterThan(8)
    expect(onsetS).toBeCloseTo(0.5, 2)
    expect(isClipped).toBe(false)
  })

  test('at half the target frequency does not pass by its octave', () => {
    const found = estimate(workshop(2, [[0.5, 45]]), NEAR)
    expect(found.reject).toBe('far')
    expect(troubleOf(found).message).toMatch(/45 Hz/)
  })

  test('too loud for the microphone is heard, and said to be so', () => {
    const loud = workshop(2, [[0.5, 88.3]]).map((value) => Math.max(-1, Math.min(1, 8 * value)))
    const { reject, comb, isClipped } = estimate(loud, NEAR)
    expect([reject, isClipped]).toEqual([null, true])
    expect(Math.abs(comb!.hz / 88.3 - 1)).toBeLessThan(0.01)
  })

  test('is not heard in noise alone', () => {
    expect(estimate(workshop(2, []), NEAR).reject).toBe('no-pluck')
  })
})

describe('a stream', () => {
  test('gives each pluck once, on the clip that it was judged on', () => {
    const plucks = listened(
      workshop(9, [
        [1.4, 85],
        [3.6, 90],
        [5.9, 95],
      ]),
    )
    expect(plucks.map(({ pluck }) => Math.round(pluck.comb!.hz))).toEqual([85, 90, 95])
    for (const { pluck, clip } of plucks) {
      expect(clip.length).toBe(2 * CLIP_HZ)
      expect(estimate(readWav(writeWav(clip)).samples, NEAR)).toEqual(pluck)
    }
  })

  test('of another rate gives the same pitch', () => {
    const resampler = new Resampler(44_100)
    const [found] = listened(resampler.push(workshop(4, [[1.4, 88.3]], 44_100)))
    expect(Math.abs(found!.pluck.comb!.hz / 88.3 - 1)).toBeLessThan(0.004)
  })

  test('hears a pluck whole that comes behind a blow', () => {
    const sound = workshop(5, [[2.1, 88.3]])
    const random = chance(3)
    for (let i = 0; i < 400; i++) sound[1.1 * CLIP_HZ + i]! += 0.1 * (random() - 0.5)
    const counted = listened(sound).filter(({ pluck }) => pluck.reject === null)
    expect(counted.map(({ pluck }) => Math.round(pluck.comb!.hz))).toEqual([88])
  })

  test('tells how loud it is, and of nothing else while nothing happens', () => {
    const events = new Watch(NEAR).push(workshop(3, []))
    expect(new Set(events.map(({ kind }) => kind))).toEqual(new Set(['level']))
    expect(events).toHaveLength(60)
    // 0.004 (u - 1/2) has a power of 0.004² / 12.
    for (const event of events)
      if (event.kind === 'level') expect(event.db).toBeCloseTo(10 * Math.log10(0.004 ** 2 / 12), 0)
  })
})

describe('three plucks', () => {
  test('in range', () => {
    expect(after(heard(90), heard(91.04), heard(90.46)).end).toEqual({
      verdict: 'in-range',
      value: '90.5',
      isNearLimit: false,
    })
  })

  test.each([
    [79.9, 'low', true],
    [70, 'low', false],
    [80, 'in-range', true],
    [100, 'in-range', true],
    [100.1, 'high', true],
    [120, 'high', false],
  ])('at %f Hz', (hz, verdict, isNearLimit) => {
    expect(after(heard(hz), heard(hz), heard(hz)).end).toEqual({ verdict, value: hz.toFixed(1), isNearLimit })
  })

  test('that differ begin anew, and at the third time end without a value', () => {
    const apart = [heard(85), heard(90), heard(88)]
    const once = after(...apart)
    expect(once).toMatchObject({ taken: [], end: null, trouble: { code: 'differ' } })
    expect(after(...apart, heard(90), heard(90), heard(90)).end).toMatchObject({ verdict: 'in-range' })
    expect(after(...apart, ...apart, ...apart).end).toMatchObject({
      verdict: 'cannot-tell',
      trouble: { code: 'never-agree' },
    })
  })

  test('at four percent apart count, above do not', () => {
    expect(after(heard(88.2), heard(90), heard(91.8)).end).toMatchObject({ verdict: 'in-range' })
    expect(after(heard(88.2), heard(90), heard(91.81)).end).toBeNull()
  })

  test('one that does not count costs nothing but its telling', () => {
    const noisy = after(heard(90), heard(90, 'unclear'))
    expect(noisy).toMatchObject({ trouble: { code: 'unclear' }, end: null })
    expect(noisy.taken).toHaveLength(1)
    expect(take(noisy, heard(90), WINDOW).trouble).toBeNull()
  })

  test('two readings block at the third time in a row, and not before', () => {
    const far = heard(90, 'far')
    expect(after(far, far).end).toBeNull()
    expect(after(far, far, heard(90), far, far).end).toBeNull()
    const blocked = after(heard(90), far, heard(90, 'unclear'), far, far)
    expect(blocked.end).toMatchObject({ verdict: 'cannot-tell', trouble: { code: 'far-again' } })
    expect(take(blocked, heard(90), WINDOW)).toBe(blocked)
  })

  test('each reason has words that say what to do', () => {
    for (const reject of ['too-short', 'no-pluck', 'too-noisy', 'unclear', 'far'] as const) {
      const { code, message, hint } = troubleOf(heard(90, reject).pluck)
      expect(code).toBe(reject)
      for (const words of [message, hint]) expect(words).toMatch(/^[A-Z].*\.$/)
      expect(`${message} ${hint}`).not.toMatch(/\berror\b|\byou/i)
    }
    const { pluck } = heard(90, 'far')
    expect(troubleOf(pluck).message).toContain('45 Hz and 90 Hz')
    for (const comb of [null, { ...pluck.comb!, hz: 120, score: 0.5 }]) {
      expect(troubleOf({ ...pluck, comb }).message).toBe(
        'The span sounds at about 90 Hz, far from the target.',
      )
    }
  })
})

describe('the sheet', () => {
  let session: Session
  beforeAll(() => {
    session = listened(
      workshop(9, [
        [1.4, 88],
        [3.6, 89],
        [5.9, 90],
      ]),
    ).reduce((had, event) => take(had, event, WINDOW), NEW_SESSION)
  })

  test('holds integers and decimals only, and names its clips', async () => {
    const microphone = { sampleRate: 44_100, processing: { echo: false, noise: true, gain: false } }
    const { value, unit, sheet, clips } = await pluckReading(session.taken, WINDOW, microphone)
    expect([value, unit]).toEqual([(session.end as { value: string }).value, 'Hz'])
    expect(sheet).toMatchObject({
      v: 1,
      by: 'pluck',
      edition: 2,
      ...WINDOW,
      sample_rate: 44_100,
      processing: microphone.processing,
    })
    for (const [i, { clip, lags, ...figures }] of sheet.plucks.entries()) {
      const hash = Buffer.from(await crypto.subtle.digest('SHA-256', clips[i]!)).toString('hex')
      expect(clip).toBe(hash)
      for (const figure of [...lags, ...Object.values(figures)])
        expect(figure).toMatch(/^-?(0|[1-9][0-9]*)\.[0-9]+$/)
    }
  })
})

describe('a WAV file', () => {
  test('comes back as it was written', () => {
    const samples = quantized([0, 0.5, -0.5, 1, -1, 1.7, -1.7])
    expect([...samples]).toEqual([0, 16_384, -16_384, 32_767, -32_768, 32_767, -32_768])
    const { rateHz, samples: read } = readWav(writeWav(samples))
    expect(rateHz).toBe(CLIP_HZ)
    expect([...read].map((value) => value * 32_768)).toEqual([...samples])
  })

  /** A file of one kind with a chunk before its sound that nobody asked for. */
  function wav(kind: number, bits: number, channels: number, sound: number[], rateHz = CLIP_HZ): Uint8Array {
    const bytes = Buffer.alloc(12 + 24 + 12 + 8 + sound.length)
    bytes.write('RIFF', 0)
    bytes.write('WAVEfmt ', 8)
    bytes.writeUInt32LE(16, 16)
    bytes.writeUInt16LE(kind, 20)
    bytes.writeUInt16LE(channels, 22)
    bytes.writeUInt32LE(rateHz, 24)
    bytes.writeUInt16LE(bits, 34)
    bytes.write('note', 36)
    bytes.writeUInt32LE(3, 40) // odd: a byte of padding follows
    bytes.write('data', 48)
    bytes.writeUInt32LE(sound.length, 52)
    Buffer.from(sound).copy(bytes, 56)
    return bytes
  }

  test.each([
    ['16 bit', wav(1, 16, 1, [0, 0x40, 0, 0xc0]), [0.5, -0.5]],
    ['24 bit', wav(1, 24, 1, [0, 0, 0x40, 0, 0, 0xc0]), [0.5, -0.5]],
    ['32-bit float', wav(3, 32, 1, [0, 0, 0, 0x3f, 0, 0, 0x80, 0xbf]), [0.5, -1]],
    ['two channels: the mean', wav(1, 16, 2, [0, 0x40, 0, 0, 0, 0xc0, 0, 0]), [0.25, -0.25]],
  ])('of %s is read', (_, bytes, samples) => {
    expect([...readWav(bytes).samples]).toEqual(samples)
  })

  test.each([
    ['no WAV', Buffer.from('%PDF-1.7 and so on, long enough to hold a header of forty-four bytes')],
    ['8 bit', wav(1, 8, 1, [0, 0])],
    ['no channel', wav(1, 16, 0, [0, 0])],
    ['a rate of 0', wav(1, 16, 1, [0, 0], 0)],
    ['a number that is none', wav(3, 32, 1, [0, 0, 0xc0, 0x7f])],
    ['cut off before its sound', wav(1, 16, 1, [0, 0]).subarray(0, 47)],
  ])('with %s is refused with a hint', (_, bytes) => {
    expect(() => readWav(bytes)).toThrow(BadWav)
  })
})
