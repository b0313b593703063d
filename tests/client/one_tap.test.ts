/** A tool on the board, tapped twice: a second tap too soon is part of the first. */
import { expect, test, vi } from 'vitest'
import { oneTap } from '@client/screens/bay/one-tap'
import { havingFramesByHand } from './frames'

havingFramesByHand()

const at = (ms: number) => vi.advanceTimersByTimeAsync(ms)

test('a tool is moved once by two taps within 300 ms, and moved back by a later one', async () => {
  const move = vi.fn(async () => undefined)
  void oneTap('pin', move)
  await at(250)
  void oneTap('pin', move)
  expect(move).toHaveBeenCalledTimes(1)
  await at(60)
  void oneTap('pin', move)
  expect(move).toHaveBeenCalledTimes(2)
})

test('a slot is deaf until its move is kept and the mark painted, and no other slot is', async () => {
  const slow = vi.fn(() => new Promise<void>((kept) => setTimeout(kept, 2000)))
  void oneTap('pin', slow)
  await at(2000)
  void oneTap('pin', slow) // kept, not yet painted
  expect(slow).toHaveBeenCalledTimes(1)
  const other = vi.fn(async () => undefined)
  void oneTap('bar', other)
  expect(other).toHaveBeenCalledTimes(1)
  await at(50)
  void oneTap('pin', slow)
  expect(slow).toHaveBeenCalledTimes(2)
})

test('a move that was refused may be tried again', async () => {
  const move = vi.fn(async () => Promise.reject(new Error('not kept')))
  void oneTap('pin', move)
  await at(310)
  void oneTap('pin', move)
  expect(move).toHaveBeenCalledTimes(2)
})
