/** Phones that come home to a workshop whose key has changed hands: by right, by theft, by the paper. */
import { expect, test } from 'vitest'
import { generateKey } from '@client/ledger/keys'
import type { PhoneStore } from '@client/store'
import { PhoneSync } from '@client/sync'
import { readInvitation } from '@client/sync/invitation'
import { blobOf, JOB, keepPhoto, openPhone } from './phone'
import { FakeWorkshop } from './workshop'

const NOW = new Date('2026-11-24T12:00:00.000Z')

interface Case {
  store: PhoneStore
  sync: PhoneSync
  /** Whoever answers under the workshop's address now. */
  turnTo: (workshop: FakeWorkshop) => void
}

async function join(workshop: FakeWorkshop): Promise<Case> {
  const { store } = await openPhone()
  let answers = workshop
  const fetch: FakeWorkshop['fetch'] = (path, init) => answers.fetch(path, init)
  const sync = new PhoneSync(store, { fetch, now: () => NOW, chance: () => 0.5 })
  expect(await sync.enrol(await invited(workshop))).toEqual({ ok: true, value: null })
  await sync.now()
  return { store, sync, turnTo: (other) => (answers = other) }
}

async function invited(workshop: FakeWorkshop) {
  const invitation = readInvitation(await workshop.invite('mechanic'))
  if (!invitation.ok) throw new Error(invitation.trouble.message)
  return invitation.value
}

const papers = async () => [await generateKey(), await generateKey(), await generateKey()] as const
const begin = (store: PhoneStore) =>
  store.write(JOB, (writing) => writing.entry('step.begun', { step: 'locks_in' }).then(() => undefined))
const places = async (store: PhoneStore) => (await store.log(JOB)).map(({ place }) => place)
const codes = (store: PhoneStore) => store.notices.value.map(({ code }) => code)

async function shoot(store: PhoneStore): Promise<string> {
  const shot = new Uint8Array(3000).map((_, n) => n * 31)
  return blobOf(keepPhoto(store, new Blob([shot], { type: 'image/jpeg' })))
}

test('a phone that was away while the key was handed on and on goes on by itself', async () => {
  const workshop = await FakeWorkshop.open()
  const { store, sync } = await join(workshop)
  for (let n = 0; n < 3; n++) {
    await workshop.handOver()
    await workshop.state('backup.made', { size: 1 })
  }
  await begin(store)
  await sync.now()
  expect(sync.alarm.value).toBeNull()
  expect(await places(store)).toEqual(['workshop'])
  expect(store.device.value?.workshopKey).toBe(workshop.key.key)
  expect((await store.ledger.backups()).made).toBe(1)
  expect(codes(store)).toEqual([])
  const again = workshop.asked.length
  await sync.now()
  expect(workshop.asked.slice(again).map(({ path }) => path)).not.toContain('/api/keys')
})

test('a phone that is opened again knows the key that it followed', async () => {
  const workshop = await FakeWorkshop.open()
  const { store, sync } = await join(workshop)
  await workshop.handOver()
  await sync.now()
  const later = new PhoneSync(store, { fetch: workshop.fetch, now: () => NOW, chance: () => 0.5 })
  workshop.asked = []
  await begin(store)
  await later.now()
  expect(await places(store)).toEqual(['workshop'])
  expect(workshop.asked.map(({ path }) => path)).not.toContain('/api/keys')
})

test("an impostor's chain is refused, and nothing is sent to him as if to the workshop", async () => {
  const workshop = await FakeWorkshop.open()
  const { store, sync, turnTo } = await join(workshop)
  const impostor = workshop.fork()
  await impostor.handOver(await generateKey()) // signed for by nobody who might
  turnTo(impostor)
  await begin(store)
  await sync.now()
  expect(sync.alarm.value?.code).toBe('wrong-signature')
  expect(await places(store)).toEqual(['phone'])
  expect(store.device.value?.workshopKey).toBe(workshop.key.key)
  turnTo(workshop)
  await sync.now()
  expect(await places(store)).toEqual(['workshop'])
})

test('who has nothing to say of his key is not the workshop', async () => {
  const workshop = await FakeWorkshop.open()
  const { store, sync } = await join(workshop)
  await workshop.handOver()
  workshop.line = ({ path }) => (path === '/api/keys' ? Promise.resolve(notFound()) : undefined)
  await begin(store)
  await sync.now()
  expect([sync.alarm.value?.code, await places(store)]).toEqual(['wrong-signature', ['phone']])
})

const notFound = () =>
  new Response(JSON.stringify({ code: 'not-found', message: 'nothing here', hint: 'x' }), {
    status: 404,
    headers: { 'Content-Type': 'application/json' },
  })

test('a phone that followed a thief accepts the recovery, says so, and sends again what only he had acknowledged', async () => {
  const [paper, next] = await papers()
  const workshop = await FakeWorkshop.open(paper)
  const { store, sync } = await join(workshop)
  const trusted = workshop.records.length
  await workshop.handOver() // the thief has the key, and the folder
  const thief = workshop.key.key
  const sha = await shoot(store)
  await sync.now()
  await workshop.state('backup.made', { size: workshop.records.length })
  await sync.now()
  expect(store.device.value?.workshopKey).toBe(thief)
  expect([await store.photoPlace(sha), (await store.ledger.backups()).made > 0]).toEqual(['backup', true])

  await workshop.recover(paper, trusted, next)
  workshop.line = ({ path }) =>
    path.startsWith('/api/uploads') ? Promise.reject(new TypeError('no line')) : undefined
  await sync.now()
  expect(store.device.value?.workshopKey).not.toBe(workshop.key.key) // the round did not come to its end
  expect(codes(store)).toEqual(['key-recovered'])
  expect(await store.photoPlace(sha)).toBe('phone')
  expect((await store.ledger.backups()).made).toBe(0)
  workshop.line = () => undefined
  await workshop.state('blob.kept', { blobs: [{ blob: sha, size: 3000 }] })
  await sync.now()
  expect(sync.alarm.value).toBeNull()
  expect(store.device.value?.workshopKey).toBe(workshop.key.key)
  expect([await store.photoPlace(sha), await places(store)]).toEqual(['workshop', ['workshop']])
  await store.dismiss('key-recovered')
  await sync.now()
  expect(codes(store)).toEqual([])
})

test('a phone that was away during theft and recovery never takes the thief at his word', async () => {
  const [paper, next] = await papers()
  const workshop = await FakeWorkshop.open(paper)
  const { store, sync } = await join(workshop)
  const trusted = workshop.records.length
  const sha = await shoot(store)
  await workshop.handOver()
  await workshop.state('blob.kept', { blobs: [{ blob: sha, size: 3000 }] }) // he lies
  for (let n = 0; n < 150; n++) await workshop.state('retention.set', { days: n + 1 })
  await workshop.state('backup.made', { size: workshop.records.length })
  await workshop.recover(paper, trusted, next)
  const all = workshop.records.length
  workshop.line = ({ path }) =>
    path.startsWith('/api/uploads') ? Promise.reject(new TypeError('no line')) : undefined
  await sync.now()
  expect((await store.ledger.seen()).cursor).toBe(all) // in several pages
  expect([await store.photoPlace(sha), (await store.ledger.backups()).made]).toEqual(['phone', 0])
  expect(codes(store)).toEqual(['key-recovered'])
})

test('a phone that joins after a recovery reads the whole ledger by it, and has nothing to be told', async () => {
  const [paper, next] = await papers()
  const workshop = await FakeWorkshop.open(paper)
  await workshop.handOver()
  await workshop.invite('owner')
  for (let n = 0; n < 150; n++) await workshop.state('backup.made', { size: n + 1 })
  await workshop.recover(paper, 1, next)
  const { store, sync } = await join(workshop)
  expect([sync.alarm.value, codes(store)]).toEqual([null, []])
  expect((await store.ledger.backups()).made).toBe(0)
  expect((await store.ledger.seen()).cursor).toBe(workshop.records.length)
})

test('who has the key of before shows his own ledger to a phone that knows the one of now', async () => {
  const [paper, next, other] = await papers()
  const workshop = await FakeWorkshop.open(paper)
  const { store, sync, turnTo } = await join(workshop)
  const thief = workshop.fork()
  const further = workshop.fork()
  await workshop.recover(paper, workshop.records.length, next)
  await sync.now()
  expect(store.device.value?.workshopKey).toBe(workshop.key.key)
  await begin(store)
  await further.handOver()
  const withOwnPaper = thief.fork()
  await withOwnPaper.state('recovery.committed', { recovery: other.thumbprint })
  await withOwnPaper.recover(other, withOwnPaper.records.length, other)
  for (const one of [thief, further, withOwnPaper]) {
    turnTo(one)
    // He says that the ledger was put back, so that the phone reads it from its beginning.
    await sync.now()
    expect([sync.alarm.value?.code, await places(store)]).toEqual(['wrong-signature', ['phone']])
    expect(store.device.value?.workshopKey).toBe(workshop.key.key)
    await sync.dismiss()
  }
  turnTo(workshop)
  await sync.now()
  expect(await places(store)).toEqual(['workshop'])
})

test('a recovery of another ledger than the one that is shown is refused', async () => {
  const [paper, next] = await papers()
  const workshop = await FakeWorkshop.open(paper)
  const { store, sync } = await join(workshop)
  await workshop.recover(paper, 3, next, 'ab'.repeat(32))
  await begin(store)
  await sync.now()
  expect([sync.alarm.value?.code, await places(store)]).toEqual(['wrong-signature', ['phone']])
})

test('a paper that was changed is worth nothing to a phone that knows it', async () => {
  const [paper, next, other] = await papers()
  const workshop = await FakeWorkshop.open(paper)
  const { store, sync, turnTo } = await join(workshop)
  const finder = workshop.fork()
  await workshop.recover(paper, workshop.records.length, next)
  await sync.now()
  await finder.recover(paper, 2, other) // the old paper, found in a drawer
  turnTo(finder)
  await begin(store)
  await sync.now()
  expect([sync.alarm.value?.code, await places(store)]).toEqual(['wrong-signature', ['phone']])
})

test('a workshop that was put back, with the key of now, is followed through other places', async () => {
  const [paper, next] = await papers()
  const workshop = await FakeWorkshop.open(paper)
  const { store, sync, turnTo } = await join(workshop)
  const backup = workshop.fork()
  await begin(store)
  await sync.now()
  await workshop.recover(paper, workshop.records.length, next)
  await sync.now()
  const keyed = workshop.records.at(-1)?.entry
  if (!keyed) throw new Error('nothing was recovered')
  backup.add(keyed) // as the key file tells it
  backup.key = workshop.key
  turnTo(backup)
  await sync.now()
  expect(sync.alarm.value?.code).toBe('rewound')
  expect(await places(store)).toEqual(['workshop'])
  expect(store.device.value?.workshopKey).toBe(workshop.key.key)
  await backup.state('backup.made', { size: 2 }, 10)
  await sync.now()
  expect((await store.ledger.backups()).made).toBe(2)
})

test('an invitation of before the key was handed over still lets its phone in, and an impostor lets in nobody', async () => {
  const workshop = await FakeWorkshop.open()
  const invitation = await invited(workshop)
  const impostor = workshop.fork()
  await workshop.handOver()
  await impostor.handOver(await generateKey())
  const joinAt = async (answers: FakeWorkshop) => {
    const { store } = await openPhone()
    const sync = new PhoneSync(store, { fetch: answers.fetch, now: () => NOW, chance: () => 0.5 })
    const answer = await sync.enrol(invitation)
    await sync.now()
    return { answer, store, alarm: sync.alarm.value }
  }
  const refused = await joinAt(impostor)
  expect(refused.answer).toMatchObject({ ok: false, trouble: { code: 'foreign-workshop' } })
  expect(refused.store.device.value).toBeNull()
  const { answer, store, alarm } = await joinAt(workshop)
  expect([answer, alarm]).toEqual([{ ok: true, value: null }, null])
  expect(store.device.value?.workshopKey).toBe(workshop.key.key)
})
