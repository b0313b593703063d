/** Time and frames that pass when a test says so: a frame comes every 16 ms. */
import { afterEach, beforeEach, vi } from 'vitest'

export function havingFramesByHand(): void {
  beforeEach(() => {
    vi.useFakeTimers()
    vi.stubGlobal('requestAnimationFrame', (frame: () => void) => setTimeout(frame, 16))
  })
  afterEach(async () => {
    await vi.runAllTimersAsync()
    vi.useRealTimers()
    vi.unstubAllGlobals()
  })
}
