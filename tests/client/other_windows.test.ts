import { afterEach, expect, test, vi } from 'vitest'
import { OtherWindows } from '@client/sync/other-windows'
import type { Sync } from '@client/sync'
import { JOB } from './phone'

const NAME = 'windows of other_windows.test.ts'
const REF = { blob: 'f'.repeat(64) }
const open: BroadcastChannel[] = []

const windowOf = (first: Pick<Sync, 'bringJobs' | 'value'> | null) => {
  const channel = new BroadcastChannel(NAME)
  open.push(channel)
  return new OtherWindows(channel, () => first)
}

const never = () => Promise.reject(new Error('not asked for'))

afterEach(() => {
  vi.useRealTimers()
  for (const one of open.splice(0)) one.close()
})

test('a window has the first bring a job and a private value, each by itself', async () => {
  const jobs: string[][] = []
  windowOf({
    bringJobs: async (some) => {
      jobs.push([...some])
      return { ok: true, value: null }
    },
    value: async ({ blob }) => (blob === REF.blob ? 'WEIR 12' : null),
  })
  const second = windowOf(null)
  const asked = [second.value(REF), second.bringJobs([JOB]), second.value({ blob: '0'.repeat(64) })]
  expect(await Promise.all(asked)).toEqual(['WEIR 12', { ok: true, value: null }, null])
  expect(jobs).toEqual([[JOB]])
})

test('only who asked is told, and a window that is not the first answers nobody', async () => {
  windowOf({ bringJobs: never, value: async () => 'WEIR 12' })
  const others = [windowOf(null), windowOf(null)]
  expect(await others[0]?.value(REF)).toBe('WEIR 12')
})

test('where no window answers that is told after a while, and what comes later is heard by nobody', async () => {
  const told: ((value: string) => void)[] = []
  windowOf({
    bringJobs: () => new Promise(() => undefined),
    value: () => new Promise<string>((tell) => told.push(tell)),
  })
  const second = windowOf(null)
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] })
  const value = second.value(REF)
  await vi.waitFor(() => expect(told).toHaveLength(1))
  await vi.advanceTimersByTimeAsync(20_000)
  expect(await value).toBeNull()
  told[0]?.('WEIR 12')
  const jobs = second.bringJobs([JOB])
  await vi.advanceTimersByTimeAsync(20_000)
  expect(await jobs).toMatchObject({ ok: false, trouble: { code: 'second-tab' } })
})
