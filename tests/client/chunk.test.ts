/** A part of the app that comes later: what is asked of it meanwhile waits, and what cannot be had is tried again. */
import { afterEach, expect, test, vi } from 'vitest'
import { chunk, insist } from '@client/screens/chunk'
import type { PhoneStore } from '@client/store'
import { LateSync } from '@client/sync/late'
import { canHavePage } from '@client/sync/page'

afterEach(() => {
  vi.useRealTimers()
  vi.unstubAllGlobals()
})

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

test('trying again by hand opens the page anew where the browser keeps to its failure, and where there is a page', async () => {
  const load = vi.fn(async () => ({ Screen: 1 })).mockRejectedValue(new TypeError('no line'))
  const lazy = chunk(load)
  await lazy.come()
  const reload = vi.fn()
  await insist(lazy, { canBeHad: async () => false, reload })
  expect(reload).not.toHaveBeenCalled()
  await insist(lazy, { canBeHad: async () => true, reload })
  expect(reload).toHaveBeenCalledOnce()
  load.mockResolvedValue({ Screen: 1 })
  await insist(lazy, { canBeHad: async () => true, reload })
  expect(lazy.state.value.at).toBe('here')
  expect(reload).toHaveBeenCalledOnce()
})

test('the page can be had where it is answered by itself, and not without a line or from a workshop that fails', async () => {
  const answers = [async () => new Response('page'), async () => new Response('no', { status: 502 })]
  for (const answer of [...answers, () => Promise.reject(new TypeError('no line'))]) {
    vi.stubGlobal('fetch', answer)
    expect(await canHavePage()).toBe(answer === answers[0])
  }
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
      picture: async () => ({ at: 'refused' }),
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

/** A page's events, which Node has not. */
function pageEvents(): EventTarget {
  const page = new EventTarget()
  vi.stubGlobal('addEventListener', page.addEventListener.bind(page))
  vi.stubGlobal('removeEventListener', page.removeEventListener.bind(page))
  return page
}

/** What a phone has of its own, beside the alarm that it keeps. */
const storeWith = (held: { value?: string; photo?: Blob; thumb?: Blob } = {}) => {
  const dismiss = vi.fn(async () => null)
  const own = {
    secretValue: async () => held.value ?? null,
    photo: async () => held.photo ?? null,
    thumb: async () => held.thumb ?? null,
    alarm: { dismiss },
  }
  return { store: own as unknown as PhoneStore, dismiss }
}

const PNG = new Blob([new Uint8Array([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a])])

test('where the code of sync cannot be had a question is answered by that, and asked again later', async () => {
  index.fails = true
  pageEvents()
  const sync = new LateSync(storeWith().store)
  expect(await sync.ask('/api/desk')).toMatchObject({ ok: false, trouble: { code: 'chunk-missing' } })
  expect(await sync.value({ blob: 'a' })).toBeNull()
  await sync.now()
  expect(sync.status.value.state).toBe('stopped')
  index.fails = false
  expect(await sync.ask('/api/desk')).toEqual({ ok: true, value: '/api/desk' })
})

test('what the phone has itself is shown without the code of sync, and no more is asked of it than that', async () => {
  index.fails = true
  pageEvents()
  const small = new Blob(['small'])
  const whole = new LateSync(storeWith({ value: 'Kim Orr', photo: PNG, thumb: small }).store)
  expect(await whole.value({ blob: 'a' })).toBe('Kim Orr')
  expect(await whole.picture('a')).toMatchObject({ at: 'here', blob: { type: 'image/png' } })
  expect(whole.status.value.state).toBe('idle') // nothing was fetched for it
  const letGo = new LateSync(storeWith({ thumb: small }).store)
  expect(await letGo.picture('a', 320)).toEqual({ at: 'here', blob: small })
  expect(await letGo.picture('a')).toEqual({ at: 'no-line' })
  index.fails = false
  expect(await letGo.picture('a')).toEqual({ at: 'refused' })
})

test('without the code of sync an alarm is dealt with, and nobody is told by a rejection alone', async () => {
  index.fails = true
  pageEvents()
  const { store, dismiss } = storeWith()
  const sync = new LateSync(store)
  const shown = { code: 'ledger-cut', message: 'Cut.', hint: 'Tell the owner.' }
  sync.alarm.value = shown
  await sync.dismiss()
  expect(dismiss).toHaveBeenCalledWith(shown)
  expect(sync.alarm.value).toBeNull()
  await sync.workAs('somebody')
  expect(sync.status.value.state).toBe('stopped')
})

test('sending begins with the next line, or by the clock, once its code can be had', async () => {
  for (const sign of ['online', 'clock']) {
    vi.useFakeTimers()
    index.fails = true
    const page = pageEvents()
    const sync = new LateSync(storeWith().store)
    await sync.now()
    await sync.now()
    expect(sync.status.value.state).toBe('stopped')
    index.fails = false
    if (sign === 'online') page.dispatchEvent(new Event('online'))
    else await vi.advanceTimersByTimeAsync(30_000)
    await vi.waitFor(() => expect(sync.status.value.words).toBe('sent'))
    expect(vi.getTimerCount()).toBe(0) // tried once
    vi.useRealTimers()
  }
})
