/** An act goes on from the one before it without asking the database, and from nothing else. */
import { expect, test, vi } from 'vitest'
import { storeOf, type PhoneStore } from '@client/store'
import { Database } from '@client/store/database'
import { noKeyring } from '@client/store/keyring'
import { become, freshName, JOB, Locks, makeDevice } from './phone'

const OTHER = JOB.replace(/.$/, 'b')

async function enrolled(): Promise<PhoneStore> {
  const options = { name: freshName(), locks: new Locks() as never, disk: null, canary: null }
  const store = storeOf({ ...options, keyring: noKeyring })
  await store.open()
  await become(store, await makeDevice())
  return store
}

const begin = async (store: PhoneStore, step: string, job = JOB) => {
  const [entry] = await store.write(
    job,
    async (writing) => void (await writing.entry('step.begun', { step })),
  )
  await store.settled()
  return entry!
}

/** How often one act asks before it is signed; what is read back comes behind its change. */
async function asked(act: () => Promise<unknown>): Promise<number> {
  const [read, change] = [vi.spyOn(Database.prototype, 'read'), vi.spyOn(Database.prototype, 'change')]
  await act()
  const first = change.mock.invocationCallOrder[0] ?? 0
  const before = read.mock.invocationCallOrder.filter((nth) => nth < first).length
  read.mockRestore()
  change.mockRestore()
  return before
}

test('the second in a job asks for nothing, and follows the first', async () => {
  const store = await enrolled()
  const first = await begin(store, 'cover_off')
  expect(
    await asked(() =>
      store.write(JOB, async (writing) => void (await writing.entry('step.begun', { step: 'belt_off' }))),
    ),
  ).toBe(0)
  const [, second] = await store.log(JOB)
  expect(second?.entry).toMatchObject({ seq: first.seq + 1, after: [first.id] })
})

test('another job, and what else was written between them, is asked for', async () => {
  const store = await enrolled()
  const first = await begin(store, 'cover_off')
  const elsewhere = await begin(store, 'cover_off', OTHER)
  expect(elsewhere).toMatchObject({ seq: first.seq + 1, after: [] })
  const back = await begin(store, 'belt_off')
  expect(back).toMatchObject({ seq: first.seq + 2, after: [first.id] })
  await store.ledger.take({
    pulled: [],
    standings: { [back.id]: 'good' },
    kept: [],
    backups: { made: 0, outside: [] },
    seen: { cursor: 9, checkpoint: 'text', size: 9, root: '' },
  })
  const write = () =>
    store.write(JOB, async (writing) => void (await writing.entry('step.begun', { step: 'roller_off' })))
  expect(await asked(write)).toBe(1)
  expect((await store.log(JOB)).at(-1)?.entry).toMatchObject({ seq: first.seq + 3, after: [back.id] })
})

test('one that was refused leaves nothing to go on from', async () => {
  const store = await enrolled()
  const first = await begin(store, 'cover_off')
  await expect(store.write(JOB, () => Promise.reject(new Error('no figure')))).rejects.toThrow('no figure')
  expect(await begin(store, 'belt_off')).toMatchObject({ seq: first.seq + 1, after: [first.id] })
})
