/** The states of a phone's storage: the arrows of the diagram in `storage-state.ts`, and none beside them. */
import { expect, test } from 'vitest'
import { StorageState } from '@client/store/storage-state'

type Happening = Parameters<StorageState['happened']>[0]

const ALL: Happening[] = ['failed', 'cut', 'agreed', 'cramped', 'roomy', 'mended']
const WAYS: Record<StorageState['trust'], Happening[]> = {
  sound: [],
  doubted: ['failed'],
  cramped: ['failed', 'cramped'],
  midway: ['cut'],
}
const ARROWS: [StorageState['trust'], Happening, StorageState['trust']][] = [
  ['sound', 'failed', 'doubted'],
  ['sound', 'cut', 'midway'],
  ['doubted', 'cut', 'midway'],
  ['doubted', 'cramped', 'cramped'],
  ['doubted', 'mended', 'sound'],
  ['cramped', 'cut', 'midway'],
  ['cramped', 'roomy', 'doubted'],
  ['midway', 'agreed', 'doubted'],
]

function inState(trust: StorageState['trust']): StorageState {
  const state = new StorageState()
  for (const what of WAYS[trust]) state.happened(what)
  expect(state.trust).toBe(trust)
  return state
}

test.each(
  (Object.keys(WAYS) as StorageState['trust'][]).flatMap((from) => ALL.map((what) => [from, what] as const)),
)('%s, when it is %s, goes where the diagram says', (from, what) => {
  const state = inState(from)
  state.happened(what)
  expect(state.trust).toBe(ARROWS.find(([one, by]) => one === from && by === what)?.[2] ?? from)
})

test('an act that may lie in one place alone is not forgotten by mending what could not be compared', () => {
  const state = inState('midway')
  for (const what of ['roomy', 'mended'] as const) state.happened(what)
  expect([state.trust, state.isDoubted]).toEqual(['midway', true])
})

test('a storage that was looked at, holds its journal and has room waits for nothing', () => {
  const state = new StorageState()
  expect(state.waits).toBe(true) // nobody has looked
  state.looked()
  state.opened('held')
  expect(state.waits).toBe(false)
  for (const [copy, waits] of [
    ['none', false],
    ['readonly', false],
    ['unread', true],
  ] as const) {
    state.opened(copy)
    expect(state.waits).toBe(waits)
  }
  state.opened('held')
  state.filled(true)
  expect([state.isFull, state.waits]).toEqual([true, true])
  state.filled(false)
  state.happened('failed')
  expect([state.isFull, state.waits]).toEqual([false, true])
})
