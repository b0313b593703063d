/** An act that is asked for while the two places are still being compared: its screen was drawn from one of them alone. */
import { expect, test, vi } from 'vitest'
import { storeOf, type PhoneStore } from '@client/store'
import { Database } from '@client/store/database'
import { noKeyring } from '@client/store/keyring'
import { Disk } from './opfs'
import { become, freshName, JOB, Locks, makeDevice } from './phone'

const OTHER = JOB.replace(/.$/, 'b')

const act = (store: PhoneStore, job: string, kind: 'step.begun' | 'step.done') =>
  store.write(job, async (writing) => {
    const step = 'cover_off'
    await (kind === 'step.done' ? writing.entry(kind, { step, proof: [] }) : writing.entry(kind, { step }))
  })

const kinds = async (store: PhoneStore, job: string) => (await store.log(job)).map(({ entry }) => entry.kind)

/** The same profile, opened as often as one likes. */
function profile(): () => PhoneStore {
  const [name, disk] = [freshName(), new Disk()]
  return () =>
    storeOf({
      name,
      locks: new Locks() as never,
      disk: disk.fresh('phone'),
      keyring: noKeyring,
      canary: null,
    })
}

/** The phone dies after the journal has an act and before the database has it. */
async function diesBetween(store: PhoneStore, job: string): Promise<void> {
  const change = vi.spyOn(Database.prototype, 'change').mockReturnValue(new Promise<never>(() => undefined))
  void act(store, job, 'step.done')
  await vi.waitFor(() => expect(change).toHaveBeenCalled())
  change.mockRestore()
}

/** Opened at the job: the screen stands, and the places are compared once `compare` is called. */
function openAtTheJob(open: () => PhoneStore): { store: PhoneStore; compare: () => Promise<void> } {
  const store = open()
  let stands = () => undefined as void
  const opened = store.open(new Promise<void>((resolve) => (stands = resolve)))
  const compare = () => {
    stands()
    return opened
  }
  return { store, compare }
}

async function cutOff(): Promise<() => PhoneStore> {
  const open = profile()
  const store = open()
  await store.open()
  await become(store, await makeDevice())
  for (const job of [JOB, OTHER]) await act(store, job, 'step.begun')
  await diesBetween(store, JOB)
  return open
}

/** What came back is on the screen: the next act is kept behind it. */
async function goesOn(store: PhoneStore): Promise<void> {
  await vi.waitFor(() => act(store, JOB, 'step.begun'))
  expect(await kinds(store, JOB)).toEqual(['step.begun', 'step.done', 'step.begun'])
}

test('is refused where the comparison has put something back into the job, and the job is shown anew', async () => {
  const { store, compare } = openAtTheJob(await cutOff())
  await store.known
  expect(await kinds(store, JOB)).toEqual(['step.begun'])
  const again = act(store, JOB, 'step.done').catch((error: unknown) => error)
  const shown = store.changed.value
  await compare()
  expect(await again).toMatchObject({ trouble: { code: 'act-came-back' } })
  expect(store.changed.value).toBeGreaterThan(shown)
  expect(await kinds(store, JOB)).toEqual(['step.begun', 'step.done'])
})

test('is kept in a job into which nothing was put back, and in the other once that is shown', async () => {
  const { store, compare } = openAtTheJob(await cutOff())
  await store.known
  const elsewhere = act(store, OTHER, 'step.done')
  await compare()
  await elsewhere
  expect(await kinds(store, OTHER)).toEqual(['step.begun', 'step.done'])
  await kinds(store, JOB)
  await goesOn(store)
})

test('is refused, too, where the comparison is over and what it put back is not on the screen yet', async () => {
  const { store, compare } = openAtTheJob(await cutOff())
  await store.known
  await compare()
  await expect(act(store, JOB, 'step.done')).rejects.toMatchObject({ trouble: { code: 'act-came-back' } })
  const read = kinds(store, JOB)
  await expect(act(store, JOB, 'step.done')).rejects.toMatchObject({ trouble: { code: 'act-came-back' } })
  expect(await read).toEqual(['step.begun', 'step.done'])
  await goesOn(store)
})

test('is kept of the workshop as a whole, of which no screen shows all', async () => {
  const { store, compare } = openAtTheJob(await cutOff())
  await store.known
  await compare()
  await store.write(null, async (writing) => {
    await writing.entry('retention.set', { days: 400 })
  })
})
