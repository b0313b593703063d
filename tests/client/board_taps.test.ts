/** Taps on the tool board: made ready while the finger is down, moved once by what was ready, moved back by the next. */
import { expect, test, vi } from 'vitest'
import { boardTaps } from '@client/screens/bay/board-taps'
import type { BoardTool } from '@client/work/shown'
import { havingFramesByHand } from './frames'

havingFramesByHand()

const PIN: BoardTool = { slot: 'pin', label: 'pin', outline: 'pin', out: false }

/** What was made ready and what was run, by what each would say. */
function taps() {
  const done: string[] = []
  const act = {
    deed: (_: unknown, said: string) =>
      Object.assign(async () => void done.push(`signs and keeps: ${said}`), {
        ahead: () => {
          done.push(`signs: ${said}`)
          return async () => void done.push(`keeps: ${said}`)
        },
      }),
  }
  return { done, ...boardTaps({ act, store: {}, job: 'job' } as never, null) }
}

test('a tool is kept as it was signed when the finger came down, and then shown as moved', async () => {
  const { done, onDown, onTap } = taps()
  const moved = vi.fn(() => done.push('shown'))
  onDown(PIN)
  onTap(PIN, moved)
  await vi.advanceTimersByTimeAsync(0)
  expect(done).toEqual(['signs: pin taken.', 'keeps: pin taken.', 'shown'])
})

test('what came under the finger since then is not what was signed', async () => {
  const { done, onDown, onTap } = taps()
  onDown(PIN)
  onTap({ ...PIN, out: true }, () => undefined)
  await vi.advanceTimersByTimeAsync(0)
  expect(done).toEqual(['signs: pin taken.', 'signs and keeps: pin on the board.'])
})
