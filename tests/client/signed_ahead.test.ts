/** An act that is signed while its key is still held: kept once it is held to the end, and nothing before that. */
import { afterEach, expect, test, vi } from 'vitest'
import * as keys from '@client/ledger/keys'
import type { PhoneStore, Writing } from '@client/store'
import { enrolledPhone, JOB } from './phone'

vi.mock('@client/ledger/keys', { spy: true })
afterEach(() => vi.useRealTimers())

const begins = (step: string) => async (writing: Writing) =>
  void (await writing.entry('step.begun', { step }))

/** A finger that has come down: `lift` says that it stayed there to the end. */
function pressed(store: PhoneStore, step: string, inMs = 0) {
  let lift: () => void = () => undefined
  const held = new Promise<void>((done) => (lift = done))
  const build = vi.fn(begins(step))
  const kept = store.write(JOB, build, { inMs, held })
  return { lift, kept, build }
}

const signed = async (build: ReturnType<typeof pressed>['build']) => {
  await vi.waitFor(() => expect(build).toHaveBeenCalled())
  await build.mock.results[0]?.value
}

test('it is kept as it was signed before, and says when its key was held to the end', async () => {
  const { store } = await enrolledPhone()
  const from = Date.now()
  const { lift, kept, build } = pressed(store, 'cover_off', 600)
  await signed(build)
  const signings = vi.mocked(keys.sign).mock.calls.length
  lift()
  const [entry] = await kept
  expect(vi.mocked(keys.sign).mock.calls.length).toBe(signings)
  expect(build).toHaveBeenCalledTimes(1)
  expect(Date.parse(entry!.at) - from).toBeGreaterThanOrEqual(600)
  expect((await store.log(JOB)).map((each) => each.entry.id)).toEqual([entry!.id])
})

test('nothing of it is left where the finger goes, and the next act has its number', async () => {
  const { store } = await enrolledPhone()
  const [first] = await store.write(JOB, begins('cover_off'))
  const { build } = pressed(store, 'belt_off')
  await signed(build)
  await store.settled()
  expect(await store.log(JOB)).toHaveLength(1)
  const [next] = await store.write(JOB, begins('roller_off'))
  expect(next).toMatchObject({ seq: first!.seq + 1, after: [first!.id] })
})

test('it is signed anew upon a log that has grown meanwhile', async () => {
  const { store } = await enrolledPhone()
  const { lift, kept, build } = pressed(store, 'belt_off')
  await signed(build)
  const [other] = await store.write(JOB, begins('cover_off'))
  lift()
  const [entry] = await kept
  expect(build).toHaveBeenCalledTimes(2)
  expect(entry).toMatchObject({ seq: other!.seq + 1, after: [other!.id] })
})

test('it is signed anew where the finger rested on its key, and says when it was lifted', async () => {
  const { store } = await enrolledPhone()
  const { lift, kept, build } = pressed(store, 'belt_off')
  await signed(build)
  vi.useFakeTimers({ toFake: ['Date'], now: Date.now() + 5_000 })
  const lifted = Date.now()
  lift()
  expect(Date.parse((await kept)[0]!.at)).toBe(lifted)
})

test('what cannot be signed is refused when the key is held, and not before', async () => {
  const { store } = await enrolledPhone()
  let lift: () => void = () => undefined
  const held = new Promise<void>((done) => (lift = done))
  const build = vi.fn(() => Promise.reject(new Error('no figure')))
  const heard = vi.fn()
  const kept = store.write(JOB, build, { inMs: 0, held })
  kept.catch(heard)
  await vi.waitFor(() => expect(build).toHaveBeenCalled())
  await store.settled()
  expect(heard).not.toHaveBeenCalled()
  lift()
  await expect(kept).rejects.toThrow('no figure')
  expect(await store.log(JOB)).toEqual([])
})
