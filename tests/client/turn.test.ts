import { describe, expect, test, vi } from 'vitest'
import {
  addTurns,
  inTurns,
  measureTurn,
  scaleFromFullTurn,
  scaleHolds,
  type TurnFound,
  type TurnTaken,
} from '@client/instruments/turn'
import { Gyro, NoMotion, type MotionSource } from '@client/instruments/turn-motion'
import { TurnRecorder } from '@client/instruments/turn-recorder'
import vectors from '../vectors/turn.json'

const turn = (over: Partial<TurnFound>): TurnFound => ({
  ok: true,
  mdeg: 90_000,
  value: '90.0',
  tolerance_mdeg: 4000,
  sense: 'clockwise',
  axis: [0, 0, -1000],
  is_calibrated: false,
  message: '',
  ...over,
})

describe('the turned angle', () => {
  test.each(vectors.cases)('$name', ({ sheet, expect: expected }) => {
    const found = measureTurn(sheet as unknown as TurnTaken)
    const { mdeg, axis: _, tolerance_mdeg: __, ...exact } = expected as unknown as TurnFound
    expect(found).toMatchObject(exact)
    if (found.ok) expect(Math.abs(found.mdeg - mdeg)).toBeLessThanOrEqual(1)
  })

  test.each(vectors.scales)('a full turn that reads $value', ({ mdeg, value, ppm }) => {
    const found = scaleFromFullTurn(turn({ mdeg, value }))
    if (ppm === null) expect(found).toMatchObject({ ok: false, code: 'no-full-turn' })
    else expect(found).toBe(ppm)
  })

  test('two turns are told in turns', () => {
    expect([720_500, 685_800, 90_000].map((mdeg) => inTurns({ mdeg }))).toEqual(['2.00', '1.91', '0.25'])
  })

  test('a scale holds about its own axis', () => {
    const flat = turn({ axis: [0, 0, 1000] })
    expect(scaleHolds(flat, turn({ axis: [100, 200, -974] }))).toBe(true)
    expect(scaleHolds(flat, turn({ axis: [700, 0, 714] }))).toBe(false)
  })

  test('strokes add up; one that went the other way leaves the sense open', () => {
    expect(addTurns([turn({}), turn({})])).toMatchObject({
      mdeg: 180_000,
      value: '180.0',
      sense: 'clockwise',
      tolerance_mdeg: 7414,
    })
    expect(addTurns([turn({}), turn({ sense: 'anticlockwise' })]).sense).toBe('unknown')
  })
})

describe('the recorder', () => {
  const run = (recorder: TurnRecorder, from: number, to: number, rate: number) => {
    for (let t = from; t < to; t += 20) recorder.add(t * 1000, 300, -200, rate + 100)
  }

  test('waits for a still second, then measures', () => {
    const recorder = new TurnRecorder()
    for (let t = 5000; t < 7000; t += 20) recorder.add(t * 1000, t % 400 === 0 ? 5000 : 300, -200, 100)
    expect(recorder.phase).toBe('settling')
    expect(recorder.sheet(0)).toBeNull()
    run(recorder, 7000, 8100, 0)
    expect(recorder.phase).toBe('turning')
    run(recorder, 8100, 11100, 30_000)
    run(recorder, 11100, 11300, 0)
    expect(recorder.soFar(0)).toMatchObject({ ok: true, value: '90.0', sense: 'anticlockwise' })
    const sheet = recorder.sheet(0)!
    expect(sheet).toMatchObject({ v: 1, by: 'turn', edition: 1, scale_ppm: 0 })
    expect(sheet.samples[0]![0]).toBe(0)
    expect(sheet.still.to_us - sheet.still.from_us).toBeGreaterThanOrEqual(900_000)
    expect(measureTurn(sheet)).toEqual(recorder.soFar(0))
  })

  test('readings that come late or twice are left out', () => {
    const recorder = new TurnRecorder()
    run(recorder, 0, 1200, 0)
    const before = recorder.sheet(0)!.samples.length
    recorder.add(1_180_000, 9, 9, 9)
    recorder.add(600_000, 9, 9, 9)
    expect(recorder.sheet(0)!.samples).toHaveLength(before)
  })
})

describe('the sensor', () => {
  type Rates = { alpha: number | null; beta: number | null; gamma: number | null } | null
  const source = (rates: Rates | undefined, asked?: () => Promise<string>) => {
    const hearers = new Set<(event: DeviceMotionEvent) => void>()
    let now = 0
    const send = (rotationRate: Rates) => {
      for (const hear of hearers) hear({ timeStamp: (now += 20), rotationRate } as DeviceMotionEvent)
    }
    const phone: MotionSource = {
      addEventListener: (_, hear) => {
        hearers.add(hear)
        if (rates !== undefined) queueMicrotask(() => send(rates))
      },
      removeEventListener: (_, hear) => void hearers.delete(hear),
      DeviceMotionEvent: asked ? { requestPermission: asked } : {},
    }
    return { phone, send, hearers }
  }
  const trouble = (opening: Promise<Gyro>) =>
    opening.then(
      () => null,
      (error: unknown) => (error instanceof NoMotion ? error.code : error),
    )

  test('alpha, beta and gamma are x, y and z, in thousandths', async () => {
    const { phone, send, hearers } = source({ alpha: 0, beta: 0, gamma: 0 })
    const gyro = await Gyro.open(phone)
    const recorder = gyro.begin()
    for (let i = 0; i < 60; i += 1) send({ alpha: 0.1, beta: -0.2, gamma: 0.3 })
    send({ alpha: null, beta: null, gamma: null })
    expect(recorder.sheet(0)!.samples.at(-1)!.slice(1)).toEqual([100, -200, 300])
    gyro.close()
    expect(hearers.size).toBe(0)
  })

  test('a phone without rates, or without the event, says so and is not waited for', async () => {
    vi.useFakeTimers()
    for (const rates of [null, { alpha: null, beta: null, gamma: null }, undefined]) {
      const { phone, hearers } = source(rates)
      const said = trouble(Gyro.open(phone))
      await vi.advanceTimersByTimeAsync(1500)
      expect(await said).toBe('no-gyro')
      expect(hearers.size).toBe(0)
    }
    vi.useRealTimers()
    const { DeviceMotionEvent: _, ...without } = source(null).phone
    expect(await trouble(Gyro.open(without))).toBe('no-gyro')
  })

  test('a refusal and a missing tap are told apart', async () => {
    const rates = { alpha: 0, beta: 0, gamma: 0 }
    expect(await trouble(Gyro.open(source(rates, async () => 'denied').phone))).toBe('refused')
    expect(
      await trouble(
        Gyro.open(
          source(rates, () => Promise.reject(new DOMException('no gesture', 'NotAllowedError'))).phone,
        ),
      ),
    ).toBe('needs-tap')
    expect(await trouble(Gyro.open(source(rates, async () => 'granted').phone))).toBeNull()
  })
})
