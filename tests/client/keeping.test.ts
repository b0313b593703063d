/** An act at a desk: a second press while it is under way is part of the first. What is signed twice stands twice, for ever. */
import { expect, test, vi } from 'vitest'
import { useKeeping } from '@client/screens/keeping'

vi.mock('preact/hooks', () => ({
  useState: (value: unknown) => [value, () => undefined],
  useRef: (current: unknown) => ({ current }),
}))

test('an act whose key is pressed twice is done once, and can be done again after that', async () => {
  const { keep } = useKeeping()
  let kept = () => undefined as void
  const act = vi.fn(() => new Promise<void>((done) => (kept = done)))
  const [first, second] = [keep(act), keep(act)]
  kept()
  expect(await Promise.all([first, second])).toEqual([true, false])
  expect(act).toHaveBeenCalledTimes(1)
  const again = keep(act)
  kept()
  expect([await again, act.mock.calls.length]).toEqual([true, 2])
})
