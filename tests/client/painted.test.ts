import { afterEach, expect, test, vi } from 'vitest'
import { painted } from '@client/store'

afterEach(() => {
  vi.useRealTimers()
  vi.unstubAllGlobals()
})

const frames = () => {
  const asked: (() => void)[] = []
  vi.stubGlobal('requestAnimationFrame', (frame: () => void) => asked.push(frame))
  return asked
}

test('what is drawn is painted after the next frame', async () => {
  vi.useFakeTimers()
  const [asked, then] = [frames(), vi.fn()]
  void painted().then(then)
  await vi.advanceTimersByTimeAsync(50)
  expect(then).not.toHaveBeenCalled()
  asked[0]?.()
  await vi.advanceTimersByTimeAsync(0)
  expect(then).toHaveBeenCalledOnce()
})

test('a page that draws no frame is not waited for long', async () => {
  vi.useFakeTimers()
  const then = vi.fn()
  frames()
  void painted().then(then)
  await vi.advanceTimersByTimeAsync(100)
  expect(then).toHaveBeenCalledOnce()
})

test('a page that was put away waits for no frame, and for no clock', async () => {
  vi.useFakeTimers()
  const asked = frames()
  vi.stubGlobal('document', { hidden: true })
  await painted()
  expect(asked).toEqual([])
})
