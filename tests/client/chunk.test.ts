/** A part of the app that comes later: what is asked of it meanwhile waits, and what cannot be had is tried again. */
import { expect, test, vi } from 'vitest'
import { chunk } from '@client/screens/chunk'
import type { PhoneStore } from '@client/store'
import { LateSync } from '@client/sync/late'

test('a chunk is loaded once, however often it is asked for', async () => {
  const load = vi.fn(async () => ({ Screen: 1 }))
  const lazy = chunk(load)
  expect(lazy.state.value).toEqual({ at: 'coming' })
  await Promise.all([lazy.come(), lazy.come()])
  await lazy.come()
  expect(lazy.state.value).toEqual({ at: 'here', module: { Screen: 1 } })
  expect(load).toHaveBeenCalledTimes(1)
})

test('a chunk that is missing says why, and is tried again', async () => {
  const error = new TypeError('no line')
  const load = vi.fn(async () => ({ Screen: 1 })).mockRejectedValueOnce(error)
  const lazy = chunk(load)
  await lazy.come()
  expect(lazy.state.value).toEqual({ at: 'missing', error })
  await lazy.come()
  expect(lazy.state.value).toEqual({ at: 'here', module: { Screen: 1 } })
})

const index = vi.hoisted(() => ({ fails: false }))
vi.mock('@client/sync/index', () => ({
  get startSync() {
    if (index.fails) throw new TypeError('no line')
    return (_store: unknown, _around: unknown, shown: LateSync) => ({
      ask: async (path: string) => ({ ok: true, value: path }),
      now: async () => {
        shown.status.value = { ...shown.status.value, words: 'sent' }
      },
      value: async () => 'Ada Weir',
    })
  },
}))

test('what is asked of sync before its code is here is answered when it is', async () => {
  index.fails = false
  const sync = new LateSync({} as PhoneStore)
  expect(await sync.ask('/api/desk')).toEqual({ ok: true, value: '/api/desk' })
  await sync.now()
  expect(sync.status.value.words).toBe('sent') // the screens have had this signal from the start
})

test('where the code of sync cannot be had a question is answered by that, and asked again later', async () => {
  index.fails = true
  const sync = new LateSync({} as PhoneStore)
  expect(await sync.ask('/api/desk')).toMatchObject({ ok: false, trouble: { code: 'chunk-missing' } })
  expect(await sync.value({ blob: 'a' })).toBeNull()
  await sync.now()
  expect(sync.status.value.state).toBe('stopped')
  index.fails = false
  expect(await sync.ask('/api/desk')).toEqual({ ok: true, value: '/api/desk' })
})
