/** The worker that holds the files: one that has died is told apart from a page that slept. */
import { afterEach, beforeEach, expect, test, vi } from 'vitest'
import { browserDisk } from '@client/store/remote'
import type { Disk } from '@client/store/disk'

const ended = vi.fn()
let answer: (told: object) => void

beforeEach(() => {
  vi.useFakeTimers()
  class SilentWorker {
    onmessage: ((event: { data: object }) => void) | null = null
    postMessage({ id }: { id: number }): void {
      answer = (told) => this.onmessage?.({ data: { id, ...told } })
    }
    terminate = ended
  }
  vi.stubGlobal('Worker', SilentWorker)
  vi.stubGlobal('navigator', { storage: { getDirectory: () => undefined } })
  vi.stubGlobal(
    'FileSystemFileHandle',
    class {
      move(): void {}
    },
  )
})

afterEach(() => {
  vi.useRealTimers()
  vi.unstubAllGlobals()
  ended.mockReset()
})

const disk = (): Disk => {
  const found = browserDisk('phone')
  if (!found) throw new Error('there is no disk')
  return found
}

test('a worker that says nothing for half a minute has died', async () => {
  const asked = disk().makeBallast()
  const failed = expect(asked).rejects.toThrow('no answer to makeBallast')
  vi.advanceTimersByTime(29_000)
  expect(ended).not.toHaveBeenCalled()
  vi.advanceTimersByTime(1_000)
  await failed
  expect(ended).toHaveBeenCalledOnce()
})

test('what a page slept through is not waited for', async () => {
  const asked = disk().makeBallast()
  // However long it slept, the browser then fires what is due once.
  vi.advanceTimersToNextTimer()
  answer({ value: true })
  expect(await asked).toBe(true)
  vi.advanceTimersByTime(60_000)
  expect(ended).not.toHaveBeenCalled()
})
