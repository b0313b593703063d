/** A tap that keeps: double taps within a quarter of a second are common practice, no source. */
import { expect, test, vi } from 'vitest'
import { oneTapSince } from '@client/parts/settled'

const settled = () => new Promise<void>((done) => setTimeout(done))
const nothing = () => undefined

test('what has only just come under the finger takes no tap', () => {
  let now = 1_000
  const tap = oneTapSince(() => now)
  const keep = vi.fn(async () => undefined)
  now += 240
  tap.keep(keep, nothing, nothing)
  expect([tap.hears(), keep.mock.calls.length]).toEqual([false, 0])
  now += 20
  tap.keep(keep, nothing, nothing)
  expect(keep).toHaveBeenCalledTimes(1)
})

test('once something is being kept no other tap is heard, also after it: what is shown is what was kept', async () => {
  let now = 0
  const tap = oneTapSince(() => now)
  now = 1_000
  const [keep, kept] = [vi.fn(async () => undefined), vi.fn()]
  tap.keep(keep, kept, nothing)
  expect(tap.hears()).toBe(false)
  await settled()
  expect(kept).toHaveBeenCalledTimes(1)
  tap.keep(keep, kept, nothing)
  expect([tap.hears(), keep.mock.calls.length]).toEqual([false, 1])
})

test('what was refused may be tapped again', async () => {
  let now = 0
  const tap = oneTapSince(() => now)
  now = 1_000
  const refused = vi.fn()
  tap.keep(() => Promise.reject(new Error('not kept')), nothing, refused)
  await settled()
  expect([refused.mock.calls.length, tap.hears()]).toEqual([1, true])
})
