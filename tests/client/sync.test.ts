import { openDB } from 'idb'
import { expect, test, vi } from 'vitest'
import { encodePadded } from '@client/ledger/base64url'
import { EDITION } from '@client/ledger/bodies'
import { openCheckpoint } from '@client/ledger/checkpoint'
import { parseEntry, type Entry } from '@client/ledger/entry'
import { generateKey } from '@client/ledger/keys'
import { blobId } from '@client/ledger/private'
import { leafHash } from '@client/ledger/tree'
import { FORM } from '@client/procedure/shape'
import { openStore, type PhoneStore, type Device } from '@client/store'
import { BundleCache } from '@client/store/bundle-cache'
import type { Keyring } from '@client/store/keyring'
import { PhoneSync } from '@client/sync'
import { readInvitation } from '@client/sync/invitation'
import { Api } from '@client/sync/api'
import { Offline } from '@client/sync/errors'
import { isProven } from '@client/sync/proof'
import { become, blobOf, freshName, JOB, keepPhoto, Locks, type Opened, openPhone } from './phone'
import { FakeWorkshop, portal, publish, refusal, type Asked, type Line } from './workshop'

const NOW = new Date('2026-11-24T12:00:00.000Z')

interface Joined extends Opened {
  workshop: FakeWorkshop
  sync: PhoneSync
}

const syncOf = (store: PhoneStore, workshop: FakeWorkshop) =>
  new PhoneSync(store, { fetch: workshop.fetch, now: () => NOW, chance: () => 0.5 })

async function join(link: string, workshop: FakeWorkshop): Promise<Joined> {
  const opened = await openPhone()
  const sync = syncOf(opened.store, workshop)
  const invitation = readInvitation(link)
  if (!invitation.ok) throw new Error(invitation.trouble.message)
  expect(await sync.enrol(invitation.value)).toEqual({ ok: true, value: null })
  await sync.now()
  return { ...opened, workshop, sync }
}

/** A phone that has joined, and whose first round is over. */
async function joined(): Promise<Joined> {
  const workshop = await FakeWorkshop.open()
  return join(await workshop.invite('mechanic'), workshop)
}

const begin = (store: PhoneStore, times = 1) =>
  store.write(JOB, async (writing) => {
    for (let n = 0; n < times; n++) await writing.entry('step.begun', { step: `step_${n}` })
  })

const places = async (store: PhoneStore) => (await store.log(JOB)).map(({ place }) => place)

const asked = (workshop: FakeWorkshop) =>
  workshop.asked.map(({ method, path }) => `${method} ${path.split('?')[0]}`)

/** Let the workshop do its work, and lose its answer. */
const losing = (path: string) => (one: Asked, answer: () => Promise<Response>) =>
  one.path.startsWith(path)
    ? answer().then(() => {
        throw new TypeError('connection reset')
      })
    : undefined

const photo = (size: number) =>
  new Blob([new Uint8Array(size).map((_, n) => n * 31 + (n >> 8))], { type: 'image/jpeg' })

const shoot = (store: PhoneStore, size: number) => blobOf(keepPhoto(store, photo(size)))

function hearsOfItsEnrolmentAlone(workshop: FakeWorkshop): void {
  workshop.line = ({ path }, answer) =>
    ['/api/workshop', '/api/enrol'].includes(path)
      ? answer()
      : Promise.reject(new TypeError('connection reset'))
}

test('an invitation lets a phone in, and the person’s name comes with the first round', async () => {
  const workshop = await FakeWorkshop.open()
  const link = await workshop.invite('mechanic')
  const { store, sync } = await join(link, workshop)
  expect(store.device.value).toMatchObject({
    workshop: workshop.id,
    workshopName: 'Cogline Garage',
    personName: 'Ada Weir',
    role: 'mechanic',
  })
  expect(store.device.value?.secret?.extractable).toBe(false)
  const own = (await store.log(null)).find(({ entry }) => entry.kind === 'device.enrolled')
  expect([own?.place, own?.mine, own?.entry.seq]).toEqual(['workshop', true, 1])
  expect(sync.status.value).toMatchObject({ state: 'idle', words: 'Everything is in the workshop.' })
  const [next] = await begin(store)
  expect(next?.seq).toBe(2)
})

test.each([
  ['nothing', ''],
  ['a cut link', 'http://workshop.test/#invite=eyJpbnZpdGF0aW9uIjoi'],
  ['other words', 'Welcome to the garage'],
])('%s is no invitation, and says what to do', (_, text) => {
  expect(readInvitation(text)).toMatchObject({
    ok: false,
    trouble: { message: 'This text is not a whole invitation.' },
  })
})

test('an invitation broken over lines by a message is read', async () => {
  const workshop = await FakeWorkshop.open()
  const link = await workshop.invite('owner')
  const broken = `${link.slice(0, 60)}\n  ${link.slice(60)} `
  expect(readInvitation(broken)).toMatchObject({ ok: true, value: { workshop: workshop.id, role: 'owner' } })
})

test('an address that answers for another workshop gets no key', async () => {
  const [workshop, other] = [await FakeWorkshop.open(), await FakeWorkshop.open()]
  const invitation = readInvitation(await workshop.invite('mechanic'))
  if (!invitation.ok) throw new Error('not read')
  const { store } = await openPhone()
  const answer = await syncOf(store, other).enrol(invitation.value)
  expect(answer).toMatchObject({ ok: false, trouble: { code: 'foreign-workshop' } })
  expect(asked(other)).toEqual(['GET /api/workshop'])
  expect(store.device.value).toBeNull()
})

test('an enrolment whose answer was lost is sent again with the same key', async () => {
  const workshop = await FakeWorkshop.open()
  const invitation = readInvitation(await workshop.invite('mechanic'))
  if (!invitation.ok) throw new Error('not read')
  const { store } = await openPhone()
  const sync = syncOf(store, workshop)
  workshop.line = losing('/api/enrol')
  expect(await sync.enrol(invitation.value)).toMatchObject({ ok: false, trouble: { code: 'offline' } })
  expect(store.device.value).toBeNull()
  workshop.line = () => undefined
  expect(await sync.enrol(invitation.value)).toMatchObject({ ok: true })
  expect(workshop.records.filter(({ entry }) => entry.kind === 'device.enrolled')).toHaveLength(1)
})

test('entries go in batches of fifty, private values with them, and are received in order', async () => {
  const { store, sync, workshop } = await joined()
  await store.write(JOB, async (writing) => {
    const because = await writing.secret('words', 'the seal leaks')
    await writing.entry('step.reopened', { step: 'seal', because })
  })
  await begin(store, 119)
  expect(new Set(await places(store))).toEqual(new Set(['phone']))
  workshop.asked = []
  await sync.now()
  expect(new Set(await places(store))).toEqual(new Set(['workshop']))
  expect(asked(workshop).filter((one) => one === 'POST /api/entries')).toHaveLength(3)
  expect(workshop.asked.length).toBeLessThanOrEqual(6)
  const written = workshop.records.filter(({ entry }) => entry.job === JOB).map(({ entry }) => entry.seq)
  expect(written).toEqual(Array.from({ length: 120 }, (_, n) => n + 2))
  expect(await store.values.waiting(true)).toEqual([])
  expect(store.places.value).toMatchObject({ phone: 0, workshop: 121 })
})

test('no private value goes before the line that names it: it would belong to whoever names it first', async () => {
  const { store, sync, workshop } = await joined()
  await begin(store, 60)
  for (const words of ['the seal leaks', 'the nut was seized', 'the belt is glazed'])
    await store.write(JOB, async (writing) => {
      await writing.entry('note.added', { text: await writing.secret('words', words) })
    })
  workshop.asked = []
  await sync.now()
  const batches = workshop.asked
    .filter(({ path }) => path === '/api/entries')
    .map(({ body }) => body as { lines: string[]; blobs: string[] })
  const sent: string[] = []
  for (const { lines, blobs } of batches) {
    sent.push(...lines)
    for (const text of blobs) expect(sent.join()).toContain(await blobId(new TextEncoder().encode(text)))
  }
  expect(batches.map(({ blobs }) => blobs.length)).toEqual([0, 3])
  expect(await store.values.waiting(true)).toEqual([])
})

test('a round with nothing new asks twice, and gets no list again', async () => {
  const { sync, workshop } = await joined()
  await sync.now()
  workshop.asked = []
  await sync.now()
  expect(asked(workshop)).toEqual(['GET /api/log', 'GET /api/bundles'])
})

test('a portal’s page is no answer', async () => {
  const { store, sync, workshop } = await joined()
  await begin(store)
  await shoot(store, 1000)
  workshop.line = portal
  await sync.now()
  expect(sync.status.value).toMatchObject({
    state: 'offline',
    words: expect.stringMatching(
      /^No line to the workshop\. 2 entries and 1 photo are on this phone\.$/,
    ) as string,
  })
  expect(await places(store)).toEqual(['phone', 'phone'])
  workshop.line = ({ path }) => (path.startsWith('/api/log') ? undefined : portal())
  await sync.now()
  expect(sync.status.value.state).toBe('offline')
  expect(await places(store)).toEqual(['phone', 'phone'])
})

test('JSON of somebody else is no answer either, and nothing goes wrong over it', async () => {
  const { store, sync, workshop } = await joined()
  await publish(workshop, new Uint8Array([1, 2, 3]))
  await begin(store)
  const sha = await shoot(store, 1000)
  for (const path of ['/api/log', '/api/entries', `/api/blobs/${sha}/receipt`, '/api/bundles']) {
    workshop.line = (one) =>
      one.path.startsWith(path)
        ? Promise.resolve(
            new Response('{"login":"/terms"}', { headers: { 'Content-Type': 'application/json' } }),
          )
        : undefined
    await sync.now()
    expect([path, sync.status.value.state]).toEqual([path, 'offline'])
    expect(await store.photoPlace(sha)).toBe(path === '/api/bundles' ? 'workshop' : 'phone')
  }
})

test('a portal’s page in place of an upload’s answer is no answer either', async () => {
  const { store, sync, workshop } = await joined()
  const sha = await shoot(store, 1000)
  workshop.line = ({ path }) => (path.startsWith('/api/uploads') ? portal() : undefined)
  await sync.now()
  expect([sync.status.value.state, await store.photoPlace(sha)]).toEqual(['offline', 'phone'])
})

test('a lost answer changes nothing: the same places come with the next', async () => {
  const { store, sync, workshop } = await joined()
  await begin(store, 3)
  workshop.line = losing('/api/entries')
  await sync.now()
  expect(await places(store)).toEqual(['phone', 'phone', 'phone'])
  const before = workshop.records.length
  workshop.line = () => undefined
  await sync.now()
  expect(await places(store)).toEqual(['workshop', 'workshop', 'workshop'])
  expect(workshop.records).toHaveLength(before)
})

test('a receipt that another key signed is an alarm, and receives nothing', async () => {
  const { store, sync, workshop } = await joined()
  await begin(store)
  const other = await generateKey()
  workshop.line = (one, answer) =>
    one.path.startsWith('/api/entries')
      ? answer().then(async (whole) => {
          const said = { ...((await whole.json()) as object), checkpoint: await workshop.checkpoint(other) }
          return new Response(JSON.stringify(said), { headers: { 'Content-Type': 'application/json' } })
        })
      : undefined
  await sync.now()
  expect(await places(store)).toEqual(['phone'])
  expect(sync.alarm.value?.code).toBe('wrong-signature')
  await sync.dismiss()
  expect(sync.alarm.value).toBeNull()
})

test('a place that the signed size does not cover is not received', async () => {
  const { store, sync, workshop } = await joined()
  await begin(store)
  workshop.line = (one, answer) =>
    one.path.startsWith('/api/entries')
      ? answer().then(async (whole) => {
          const size = workshop.records.length - 1
          const said = {
            ...((await whole.json()) as object),
            checkpoint: await workshop.checkpoint(workshop.key, size),
          }
          return new Response(JSON.stringify(said), { headers: { 'Content-Type': 'application/json' } })
        })
      : undefined
  await sync.now()
  expect([sync.alarm.value?.code, await places(store)]).toEqual(['unproven', ['phone']])
})

/** Has the workshop's answers to a path changed on their way. */
const changing =
  (path: string, change: (said: Answered) => object): Line =>
  (one, answer) =>
    one.path.startsWith(path)
      ? answer().then(async (whole) => {
          const said = { ...((await whole.json()) as Answered) }
          return new Response(JSON.stringify({ ...said, ...change(said) }), {
            headers: { 'Content-Type': 'application/json' },
          })
        })
      : undefined

interface Answered {
  indices: Record<string, number>
  stamps: Record<string, string>
  proof: string[]
  records: { index: number; record: string }[]
}

const untrue: Record<string, (said: Answered) => object> = {
  'without a proof': () => ({ proof: undefined }),
  'with half a proof': ({ proof }) => ({ proof: proof.slice(1) }),
  'with a proof that is none': () => ({ proof: 'AAAA' }),
  'that puts all entries at one place': ({ indices }) => ({
    indices: Object.fromEntries(Object.keys(indices).map((id) => [id, Math.max(...Object.values(indices))])),
  }),
  'with other stamps': ({ stamps }) => ({
    stamps: Object.fromEntries(Object.keys(stamps).map((id) => [id, '2020-01-01T00:00:00.000Z +0'])),
  }),
}

test.each(Object.keys(untrue))('a receipt %s is an alarm, and receives nothing', async (name) => {
  const { store, sync, workshop } = await joined()
  await begin(store, 2)
  workshop.line = changing('/api/entries', untrue[name] as (said: Answered) => object)
  await sync.now()
  expect([sync.alarm.value?.code, await places(store)]).toEqual(['unproven', ['phone', 'phone']])
  workshop.line = () => undefined
  await sync.now()
  expect(await places(store)).toEqual(['workshop', 'workshop'])
})

test('an old receipt of the workshop’s own proves nothing of a new entry', async () => {
  const { store, sync, workshop } = await joined()
  await begin(store)
  let old: object = {}
  workshop.line = (one, answer) =>
    one.path === '/api/entries'
      ? answer().then(async (whole) => ((old = (await whole.clone().json()) as object), whole))
      : undefined
  await sync.now()
  expect(await places(store)).toEqual(['workshop'])
  await begin(store)
  // Whoever holds the line answers with what it once heard, and never passes the entry on.
  workshop.line = ({ path, body }) => {
    if (path !== '/api/entries') return undefined
    const [line = ''] = (body as { lines: string[] }).lines
    return parseEntry(line).then(({ id }) => {
      const said = { ...old, indices: { [id]: 3 }, stamps: { [id]: '2026-11-24T12:00:00.000Z +0' } }
      return new Response(JSON.stringify(said), { headers: { 'Content-Type': 'application/json' } })
    })
  }
  await sync.now()
  expect(sync.alarm.value?.code).toBe('unproven')
  expect(await places(store)).toEqual(['workshop', 'phone'])
})

test('a page of the log that does not prove its records is not taken', async () => {
  const { store, sync, workshop } = await joined()
  await workshop.state('lot.recalled', { lot: 'B-7', because: 'cracked teeth' })
  workshop.line = changing('/api/log', ({ records }) => ({
    records: records.map(({ index, record }) => ({
      index,
      record: record.replace(/^\S+/, '2020-01-01T00:00:00.000Z'),
    })),
  }))
  await sync.now()
  expect(sync.alarm.value?.code).toBe('unproven')
  expect((await store.log(null)).map(({ entry }) => entry.kind)).not.toContain('lot.recalled')
})

test('a refused entry stays with its reason and holds up no other', async () => {
  const { store, sync, workshop, name, locks } = await joined()
  workshop.refuses['step.failed'] = 'bad-body'
  await begin(store)
  await store.write(JOB, async (writing) => {
    await writing.entry('step.failed', { step: 'step_0', failure: 'thread_gone', proof: [] })
    await writing.entry('step.begun', { step: 'step_9' })
  })
  await sync.now()
  const log = await store.log(JOB)
  expect(log.map(({ entry, place, refused }) => [entry.kind, place, refused?.code])).toEqual([
    ['step.begun', 'workshop', undefined],
    ['step.begun', 'workshop', undefined],
    ['step.failed', 'phone', 'bad-body'],
  ])
  expect(sync.status.value.words).toBe(
    'The workshop would not take 1 entry: kept on this phone, with the reason.',
  )
  workshop.asked = []
  await sync.now()
  expect(asked(workshop)).not.toContain('POST /api/entries')

  // A newer app, or a newer workshop: the next start tries once more.
  await store.close()
  workshop.refuses = {}
  const { store: again } = await openPhone(name, locks)
  await syncOf(again, workshop).now()
  expect(await places(again)).toEqual(['workshop', 'workshop', 'workshop'])
})

test('of a batch that is refused as a whole only the one to blame stays', async () => {
  const { store, sync, workshop } = await joined()
  const entries = await begin(store, 20)
  const blamed = entries[7]?.line ?? ''
  workshop.line = ({ path, body }) =>
    path === '/api/entries' && (body as { lines: string[] }).lines.includes(blamed)
      ? Promise.resolve(refusal(422, 'invalid'))
      : undefined
  await sync.now()
  const log = await store.log(JOB)
  expect(
    log.filter(({ place }) => place === 'phone').map(({ entry, refused }) => [entry.line, refused?.code]),
  ).toEqual([[blamed, 'invalid']])
})

test('a fault of the workshop’s blames no entry', async () => {
  const { store, sync, workshop } = await joined()
  await begin(store, 2)
  workshop.line = ({ path }) =>
    path === '/api/entries' ? Promise.resolve(refusal(507, 'workshop-full')) : undefined
  await sync.now()
  expect(sync.status.value).toMatchObject({
    state: 'stopped',
    words: 'refused: workshop-full Do something else.',
  })
  expect((await store.log(JOB)).map(({ refused }) => refused)).toEqual([undefined, undefined])
})

test('a photo that broke off goes on where it stopped', async () => {
  const { store, sync, workshop } = await joined()
  const size = 5_000_000
  const sha = await shoot(store, size)
  let pieces = 0
  const words: string[] = []
  sync.status.subscribe((status) => void (status.state === 'sending' && words.push(status.words)))
  workshop.line = ({ method }) =>
    method === 'PATCH' && ++pieces === 3 ? Promise.reject(new TypeError('cut')) : undefined
  await sync.now()
  const [first, second] = [64 * 2 ** 10, 128 * 2 ** 10]
  expect([await store.photoPlace(sha), workshop.halves.get(sha)?.bytes.length]).toEqual([
    'phone',
    first + second,
  ])
  expect(words.at(0)).toBe('0 of 2 have gone, 5.0 MB of photos to go.')
  expect(words).toContain('Sending entry 1 of 1. 0 of 2 have gone, 5.0 MB of photos to go.')
  expect(words.at(-1)).toBe(
    'Sending photo 1 of 1, 197 kB of 5.0 MB. 1 of 2 have gone, 4.8 MB of photos to go.',
  )
  workshop.line = () => undefined
  workshop.asked = []
  await sync.now()
  const offsets = workshop.asked
    .filter(({ method }) => method === 'PATCH')
    .map(({ headers }) => headers.get('Upload-Offset'))
  // After the break in smaller pieces; they grow while the line holds, up to 2 MiB.
  const grown = [64, 128, 256, 512, 1024, 2048, 2048].map((kib) => kib * 2 ** 10)
  const starts = grown.map((_, n) => first + second + grown.slice(0, n).reduce((sum, size) => sum + size, 0))
  expect(offsets).toEqual(starts.filter((start) => start < size).map(String))
  expect(await store.photoPlace(sha)).toBe('workshop')
  expect(store.places.value).toMatchObject({ photosWaiting: 0, bytesWaiting: 0 })
})

test.each(['POST', 'PATCH'])(
  'while the workshop’s store of photos is away (%s) a photo stays, the phone says so, and sends it later',
  async (how) => {
    const { store, sync, workshop } = await joined()
    const sha = await shoot(store, 300_000)
    workshop.line = ({ path, method }) =>
      path.startsWith('/api/uploads') && method === how
        ? Promise.resolve(refusal(503, 'photos-away'))
        : undefined
    for (const _ of [1, 2]) {
      await sync.now()
      expect(sync.status.value).toMatchObject({
        state: 'stopped',
        words: 'refused: photos-away Do something else.',
        total: 1, // the photo alone: what needs no photo has gone
      })
      expect(await store.photoPlace(sha)).toBe('phone')
      expect((await store.photos.bytes(sha))?.byteLength).toBe(300_000)
      expect((await store.photos.waiting(false)).map(({ blob }) => blob)).toEqual([sha])
    }
    workshop.line = () => undefined
    await sync.now()
    expect(await store.photoPlace(sha)).toBe('workshop')
    expect(sync.status.value).toMatchObject({ state: 'idle', total: 0 })
  },
)

test('a photo whose answer was lost is received with the log: nothing is sent again', async () => {
  const { store, sync, workshop } = await joined()
  const sha = await shoot(store, 3000)
  workshop.line = losing('/api/uploads/')
  await sync.now()
  expect(await store.photoPlace(sha)).toBe('phone')
  workshop.line = () => undefined
  workshop.asked = []
  await sync.now()
  expect(asked(workshop).filter((one) => /uploads|blobs/.test(one))).toEqual([])
  expect(await store.photoPlace(sha)).toBe('workshop')
})

test('a photo that the workshop has from elsewhere costs one request and its receipt', async () => {
  const { sync: other, store: otherStore, workshop } = await joined()
  const sha = await shoot(otherStore, 3000)
  await other.now()
  const { store, sync } = await join(await workshop.invite('mechanic'), workshop)
  await shoot(store, 3000)
  workshop.asked = []
  await sync.now()
  expect(asked(workshop).filter((one) => /uploads|blobs/.test(one))).toEqual([
    'POST /api/uploads',
    `GET /api/blobs/${sha}/receipt`,
  ])
  expect(await store.photoPlace(sha)).toBe('workshop')
})

test('a photo is not in the workshop before its receipt is', async () => {
  const { store, sync, workshop } = await joined()
  const sha = await shoot(store, 3000)
  const strange = await workshop.invite('auditor')
  expect(strange).toContain('#invite=')
  // The record of an invitation in place of the blob.kept: rightly signed, but no receipt.
  workshop.line = ({ path }) =>
    path.endsWith('/receipt')
      ? workshop.checkpoint().then((checkpoint) => {
          const index = workshop.records.findIndex(({ entry }) => entry.kind === 'device.invited')
          const said = { index, record: workshop.records[index]?.text, checkpoint }
          return new Response(JSON.stringify(said), { headers: { 'Content-Type': 'application/json' } })
        })
      : undefined
  await sync.now()
  expect(await store.photoPlace(sha)).toBe('phone')
})

test('a record whose signature does not hold is not taken, and nothing behind it', async () => {
  const { store, sync, workshop } = await joined()
  const recall = await workshop.state('lot.recalled', { lot: 'B-7', because: 'cracked teeth' })
  const forged = workshop.records.at(-1)
  if (!forged) throw new Error('no record')
  forged.text = forged.text.replace('"lot":"B-7"', '"lot":"B-8"')
  await begin(store)
  await sync.now()
  expect([sync.status.value.state, sync.alarm.value?.code]).toEqual(['stopped', 'wrong-signature'])
  expect((await store.log(null)).map(({ entry }) => entry.kind)).not.toContain(recall.kind)
  expect(await places(store)).toEqual(['phone'])
})

test('a ledger that does not start from the key on paper is nobody’s', async () => {
  const [workshop, liar] = [await FakeWorkshop.open(), await FakeWorkshop.open()]
  const invitation = readInvitation(await workshop.invite('mechanic'))
  if (!invitation.ok) throw new Error('not read')
  // The liar names the workshop of the paper, and signs with a key of its own.
  const { store } = await openPhone()
  const sync = syncOf(store, liar)
  Object.assign(liar, { id: workshop.id })
  for (const { entry } of workshop.records.filter(({ entry }) => entry.id === invitation.value.invitation))
    liar.add(entry)
  expect(await sync.enrol({ ...invitation.value, key: liar.key.key })).toMatchObject({ ok: true })
  await begin(store)
  await sync.now()
  expect([sync.status.value.state, sync.alarm.value?.code]).toEqual(['stopped', 'wrong-signature'])
  expect(await places(store)).toEqual(['phone'])
  expect(asked(liar)).not.toContain('POST /api/entries')
})

test('a workshop put back to a backup is an alarm, and gets everything again', async () => {
  const { store, sync, workshop } = await joined()
  const other = await join(await workshop.invite('mechanic'), workshop)
  await begin(other.store, 2)
  await other.sync.now()
  await begin(store, 3)
  const sha = await shoot(store, 2000)
  await sync.now()
  expect(new Set(await places(store))).toEqual(new Set(['workshop']))
  const lost = workshop.records.filter(({ entry }) => entry.job === JOB).map(({ entry }) => entry.id)

  workshop.records = workshop.records.filter(({ entry }) => entry.job !== JOB && entry.kind !== 'blob.kept')
  workshop.blobs.delete(sha)
  await sync.now()
  expect(sync.alarm.value?.code).toBe('rewound')
  const back = workshop.records.filter(({ entry }) => entry.job === JOB).map(({ entry }) => entry.id)
  expect(new Set(back)).toEqual(new Set(lost))
  expect(workshop.blobs.has(sha)).toBe(true)
  expect([new Set(await places(store)), await store.photoPlace(sha)]).toEqual([
    new Set(['workshop']),
    'workshop',
  ])
})

test('lets photos wait over a mobile line where that was chosen, and entries never', async () => {
  const { store, sync, workshop } = await joined()
  vi.stubGlobal('navigator', { connection: { type: 'cellular' } })
  await store.setSetting('photos-wait-for-line', 'yes')
  const sha = await shoot(store, 5_000)
  await sync.now()
  expect(asked(workshop)).toContain('POST /api/entries')
  expect(await store.photoPlace(sha)).toBe('phone')
  expect(asked(workshop)).not.toContain('POST /api/uploads')
  vi.stubGlobal('navigator', { connection: { type: 'wifi' } })
  await sync.now()
  expect(await store.photoPlace(sha)).toBe('workshop')
  vi.unstubAllGlobals()
})

/** A phone on whose mobile line photos wait, by choice, with one that waits. */
async function photosWaiting() {
  const phone = await joined()
  vi.stubGlobal('navigator', { connection: { type: 'cellular' } })
  await phone.store.setSetting('photos-wait-for-line', 'yes')
  const sha = await shoot(phone.store, 5_000)
  return { ...phone, sha }
}

test('photos that were refused and wait for a line are tried again over it', async () => {
  const { store, workshop, sha } = await photosWaiting()
  await store.photos.refuse(sha, { code: 'no-room', message: 'No room.', hint: 'Later.' })
  const again = syncOf(store, workshop) // the app was opened anew
  await again.now()
  expect(await store.photoPlace(sha)).not.toBe('workshop')
  vi.stubGlobal('navigator', { connection: { type: 'wifi' } })
  await again.now()
  expect(await store.photoPlace(sha)).toBe('workshop')
  vi.unstubAllGlobals()
})

test('a phone that is withdrawn, and can choose no more, gives its photos over any line', async () => {
  const { store, sync, workshop, sha } = await photosWaiting()
  workshop.revoked = true
  await sync.now()
  expect(store.sealed.value).toBe('revoked')
  expect(workshop.blobs.has(sha)).toBe(true)
  expect(store.places.value.photosWaiting).toBe(0)
  vi.unstubAllGlobals()
})

test('a revoked phone finds out that the workshop was put back, and sends it all again, the photos too', async () => {
  const { store, sync, workshop } = await joined()
  await begin(store, 2)
  const sha = await shoot(store, 2000)
  await sync.now()
  const late = await shoot(store, 3000)
  workshop.revoked = true
  const lost = workshop.records.filter(({ entry }) => entry.job === JOB).map(({ entry }) => entry.id)
  workshop.records = workshop.records.filter(({ entry }) => entry.job !== JOB && entry.kind !== 'blob.kept')
  workshop.blobs.delete(sha)
  await sync.now()
  expect(sync.alarm.value?.code).toBe('rewound')
  expect(workshop.records.map(({ entry }) => entry.id)).toEqual(expect.arrayContaining(lost))
  expect([workshop.blobs.has(sha), workshop.blobs.has(late)]).toEqual([true, true])
  expect(new Set(await places(store))).toEqual(new Set(['workshop']))
})

test('what the workshop said of a disk that it lost is not believed, and the photo is sent again', async () => {
  const { store, sync, workshop } = await joined()
  const other = await join(await workshop.invite('mechanic'), workshop)
  const old = workshop.records.slice()
  const sha = await shoot(store, 2000)
  await sync.now()
  await workshop.state('backup.made', { size: workshop.records.length })
  await sync.now()
  expect(await store.photoPlace(sha)).toBe('backup')
  const said = workshop.records.slice(old.length).map(({ entry }) => entry)

  // Put back, the workshop numbers anew; another phone brings the statements before this one speaks.
  workshop.records = old
  workshop.blobs.delete(sha)
  const [first] = old
  if (!first) throw new Error('no record')
  await workshop.state('work.accepted', { entries: [first.entry.id], because: 'restored' }, 2 ** 32)
  for (const entry of said) workshop.add(entry)
  await sync.now()
  expect(sync.alarm.value?.code).toBe('rewound')
  expect(workshop.blobs.has(sha)).toBe(true)
  expect(await store.photoPlace(sha)).toBe('workshop')
  await other.sync.now()
  expect((await other.store.ledger.backups()).made).toBe(0)
})

test('a phone enrolled anew in a workshop that was put back to before it came in gets everything there again', async () => {
  const workshop = await FakeWorkshop.open()
  const [first, second] = [await workshop.invite('mechanic'), await workshop.invite('mechanic')].map(
    readInvitation,
  )
  if (!first?.ok || !second?.ok) throw new Error('not read')
  const { store } = await openPhone()
  const sync = syncOf(store, workshop)
  const old = [...workshop.records]
  // All that the phone hears of the ledger is its own place in it, and that one is given again.
  hearsOfItsEnrolmentAlone(workshop)
  await sync.enrol(first.value)
  await begin(store, 2)
  const written = (await store.log(JOB)).map(({ entry }) => entry.id)
  workshop.records = old
  await sync.enrol(second.value)
  await sync.now()
  workshop.line = () => undefined
  await sync.now()
  expect(sync.alarm.value?.code).toBe('rewound')
  expect(sync.status.value.words).toBe('Everything is in the workshop.')
  expect(workshop.records.filter(({ entry }) => entry.job === JOB).map(({ entry }) => entry.id)).toEqual(
    written,
  )
})

/** Put back to before the phone came in: its invitation is lost with its enrolment, and every session. */
function putBackBefore(workshop: FakeWorkshop, size: number): void {
  workshop.records = workshop.records.slice(0, size)
  workshop.signedIn = false
}

const enrolments = (workshop: FakeWorkshop) =>
  workshop.asked
    .filter(({ path }) => path === '/api/enrol')
    .map(({ body }) => body as { line: string; receipt?: unknown })

/** A database that is lost, and what the ring of keys had. */
function ringOf(): Keyring & { kept: Device | null } {
  const ring = {
    kept: null as Device | null,
    read: async () => ring.kept,
    keep: async (device: Device) => void (ring.kept = device),
    drop: async () => void (ring.kept = null),
  }
  return ring
}

test('a phone whose invitation a restore took brings it back, and all that it showed as kept', async () => {
  const workshop = await FakeWorkshop.open()
  const size = workshop.records.length
  const { store, sync } = await join(await workshop.invite('mechanic'), workshop)
  await begin(store, 2)
  putBackBefore(workshop, size)
  await sync.now()
  expect(sync.status.value.words).toBe('Everything is in the workshop.')
  expect(new Set(await places(store))).toEqual(new Set(['workshop']))
  expect(sync.alarm.value?.code).toBe('rewound')
})

test('what a phone wrote before it was enrolled anew is taken by a workshop that was put back to before either', async () => {
  const workshop = await FakeWorkshop.open()
  const size = workshop.records.length
  const { store, sync } = await join(await workshop.invite('mechanic'), workshop)
  await begin(store, 2)
  await sync.now()
  const second = readInvitation(await workshop.invite('mechanic'))
  if (!second.ok) throw new Error('not read')
  await sync.enrol(second.value)
  await begin(store, 2)
  await sync.now()
  const devices = new Set((await store.log(JOB)).map(({ entry }) => entry.device))
  putBackBefore(workshop, size)
  await sync.now()
  await sync.now()
  expect(devices.size).toBe(2)
  expect(sync.status.value.words).toBe('Everything is in the workshop.')
  expect(new Set(await places(store))).toEqual(new Set(['workshop']))
})

test('a phone that nothing but the answer to its enrolment has reached comes back, too', async () => {
  const workshop = await FakeWorkshop.open()
  const size = workshop.records.length
  const invitation = readInvitation(await workshop.invite('mechanic'))
  if (!invitation.ok) throw new Error('not read')
  const { store } = await openPhone()
  const sync = syncOf(store, workshop)
  hearsOfItsEnrolmentAlone(workshop)
  await sync.enrol(invitation.value)
  await begin(store, 2)
  workshop.line = () => undefined
  putBackBefore(workshop, size)
  await sync.now()
  expect(new Set(await places(store))).toEqual(new Set(['workshop']))
  expect(sync.status.value.words).toBe('Everything is in the workshop.')
})

test('a phone that lost its database comes back by what lies with its key', async () => {
  const workshop = await FakeWorkshop.open()
  const size = workshop.records.length
  const invitation = readInvitation(await workshop.invite('mechanic'))
  if (!invitation.ok) throw new Error('not read')
  const keyring = ringOf()
  const first = await openStore({ name: freshName(), locks: new Locks(), keyring })
  await syncOf(first, workshop).enrol(invitation.value)
  if (!keyring.kept) throw new Error('no key was kept')
  expect(keyring.kept.receipt?.enrolment.record).toContain(invitation.value.invitation)

  const { store } = await openPhone()
  await become(store, keyring.kept)
  putBackBefore(workshop, size)
  const sync = syncOf(store, workshop)
  await sync.now()
  expect(sync.status.value.words).toBe('Everything is in the workshop.')
  expect(
    workshop.records.some(
      ({ entry }) => entry.kind === 'device.enrolled' && entry.device === keyring.kept?.id,
    ),
  ).toBe(true)
})

test('a workshop of before knows no receipt: the line alone is sent, and none is asked for twice', async () => {
  const workshop = await FakeWorkshop.open()
  const link = await workshop.invite('mechanic')
  const size = workshop.records.length
  const { store, sync } = await join(link, workshop)
  workshop.isOlder = true
  putBackBefore(workshop, size)
  await begin(store)
  await sync.now()
  const [, withReceipt, alone] = enrolments(workshop)
  expect([withReceipt?.receipt !== undefined, alone]).toEqual([true, { line: withReceipt?.line }])
  expect(await places(store)).toEqual(['workshop'])

  const older = await FakeWorkshop.open()
  older.isOlder = true
  const other = await join(await older.invite('mechanic'), older)
  await other.sync.now()
  await other.sync.now()
  expect(other.store.device.value?.receipt).toBeUndefined()
  expect(enrolments(older)).toHaveLength(2)
})

test('a phone that came in before there were receipts, or under another key, has one made', async () => {
  const workshop = await FakeWorkshop.open()
  workshop.isOlder = true
  const { store, name, locks } = await join(await workshop.invite('mechanic'), workshop)
  await store.close()
  workshop.isOlder = false
  const { store: newer } = await openPhone(name, locks)
  const sync = syncOf(newer, workshop)
  await sync.now()
  const first = newer.device.value?.receipt
  expect(await openCheckpoint(first?.checkpoint ?? '', workshop.key.key, workshop.id)).toBeTruthy()
  await workshop.handOver()
  const again = syncOf(newer, workshop)
  await again.now()
  expect(newer.device.value?.receipt).not.toEqual(first)
  expect(
    await openCheckpoint(newer.device.value?.receipt?.checkpoint ?? '', workshop.key.key, workshop.id),
  ).toBeTruthy()
  expect(again.status.value.words).toBe('Everything is in the workshop.')
})

test.each([
  [
    'of a record that is not proven',
    (said: Told) => ({ ...said, proof: [...said.proof, said.proof[0] ?? ''] }),
  ],
  ['of another record', (said: Told, other: string) => ({ ...said, record: other })],
])('an invitation %s is no answer to an enrolment', async (_, change) => {
  const workshop = await FakeWorkshop.open()
  const invitation = readInvitation(await workshop.invite('mechanic'))
  if (!invitation.ok) throw new Error('not read')
  workshop.line = ({ path }, answer) =>
    path === '/api/enrol'
      ? answer().then(async (given) => {
          const said = (await given.json()) as { invitation: Told }
          const invented = change(said.invitation, workshop.records[1]?.text ?? '')
          return new Response(JSON.stringify({ ...said, invitation: invented }), {
            headers: { 'Content-Type': 'application/json' },
          })
        })
      : undefined
  const { store } = await openPhone()
  expect(await syncOf(store, workshop).enrol(invitation.value)).toMatchObject({
    ok: false,
    trouble: { code: 'unproven' },
  })
  expect(store.device.value).toBeNull()
})

interface Told {
  index: number
  record: string
  proof: string[]
}

test('a phone that has the session of a withdrawn device, and is another now, signs in as who it is', async () => {
  const { store, workshop } = await joined()
  await begin(store)
  workshop.revoked = true
  workshop.line = ({ path }, answer) => {
    if (path === '/api/session') workshop.revoked = false
    return answer()
  }
  const sync = syncOf(store, workshop) // the app is opened again
  await sync.now()
  expect(sync.status.value.words).toBe('Everything is in the workshop.')
})

test('a phone that is enrolled anew while it is signing in signs in as who it is now', async () => {
  const { store, sync, workshop } = await joined()
  const invitation = readInvitation(await workshop.invite('mechanic'))
  if (!invitation.ok) throw new Error('not read')
  const before = store.device.value?.id
  workshop.signedIn = false
  let letIn = () => undefined as void
  const enrolled = new Promise<void>((resolve) => (letIn = resolve))
  const names: unknown[] = []
  workshop.line = async ({ path, body }, answer) => {
    if (path === '/api/session') {
      names.push((body as { device: string }).device)
      await enrolled
    }
    const answered = await answer()
    if (path === '/api/enrol') setTimeout(letIn, 20)
    return answered
  }
  const round = sync.now()
  await vi.waitFor(() => expect(names).toEqual([before]))
  await sync.enrol(invitation.value)
  await round
  expect(store.device.value?.id).not.toBe(before)
  expect(names).toEqual([before, store.device.value?.id])
})

test('an alarm that the storage will not keep is shown all the same, and stays until it is dealt with', async () => {
  const { store, sync, workshop } = await joined()
  const first = workshop.records[1]
  if (!first) throw new Error('no record')
  first.text = first.text.replace('12:00:00.000Z +0', '12:00:00.001Z +0')
  workshop.line = (one, answer) => (one.headers.delete('Two-Turns-Seen'), answer())
  vi.spyOn(store.alarm, 'keep').mockRejectedValue(new DOMException('', 'QuotaExceededError'))
  await sync.now()
  expect([sync.status.value.state, sync.alarm.value?.code]).toEqual(['stopped', 'forked'])
  workshop.line = () => Promise.reject(new TypeError('connection reset'))
  await sync.now()
  expect([sync.status.value.state, sync.alarm.value?.code]).toEqual(['offline', 'forked'])
})

test('a workshop that is put back between an entry and its photo is an alarm, not another history', async () => {
  const { store, sync, workshop } = await joined()
  await sync.now()
  const old = [...workshop.records]
  const blob = await shoot(store, 2000)
  // Once the entries are in it is put back, and has grown past what the phone has seen when the photo has its receipt.
  workshop.line = async (one, answer) => {
    const answered = await answer()
    if (one.path !== '/api/entries') return answered
    workshop.line = () => undefined
    workshop.records = old
    for (let n = 0; n < 20; n++) await workshop.invite('auditor')
    return answered
  }
  await sync.now()
  expect(sync.alarm.value?.code).toBe('rewound')
  expect(sync.status.value.words).toBe('Everything is in the workshop.')
  expect(workshop.blobs.has(blob)).toBe(true)
  expect(workshop.records.filter(({ entry }) => entry.job === JOB)).toHaveLength(1)
})

test('a workshop that is put back twice in one round is told all again in the next', async () => {
  const { store, sync, workshop } = await joined()
  await sync.now()
  const old = [...workshop.records]
  await begin(store)
  await sync.now()
  // Told all again, it is put back once more.
  let times = 0
  workshop.line = async (one, answer) => {
    if (one.path !== '/api/entries' && times < 2) workshop.records = old
    const answered = await answer()
    if (one.path === '/api/entries') times += 1
    return answered
  }
  workshop.records = old
  await sync.now()
  await sync.now()
  expect(sync.alarm.value?.code).toBe('rewound')
  expect(sync.status.value.words).toBe('Everything is in the workshop.')
  expect(workshop.records.filter(({ entry }) => entry.job === JOB)).toHaveLength(1)
})

test('a job with a gap that the workshop does not have is no reason to send nothing', async () => {
  const { store, sync, workshop } = await joined()
  await begin(store)
  // The database was lost with what had come from others, and the workshop was put back to before the job.
  vi.spyOn(store.ledger, 'gaps').mockResolvedValue([{ job: JOB, missing: ['f'.repeat(64)] }])
  await sync.now()
  expect(asked(workshop)).toContain(`GET /api/jobs/${JOB}/log`)
  expect(sync.status.value.words).toBe('Everything is in the workshop.')
  expect(workshop.records.filter(({ entry }) => entry.job === JOB)).toHaveLength(1)
})

const close = (store: PhoneStore) =>
  store.write(JOB, (writing) => writing.entry('job.closed', { end: 'finished' }).then(() => undefined))

/** The desk of an owner, and what a mechanic of the same workshop has written in a job, closed and sent. */
async function deskBeside(): Promise<{ desk: Joined; phone: Joined }> {
  const phone = await joined()
  const desk = await join(await phone.workshop.invite('owner'), phone.workshop)
  await begin(phone.store)
  await close(phone.store)
  await phone.sync.now()
  await desk.sync.now()
  return { desk, phone }
}

test('a desk is told of no closed job, and of the end of one that it was told of as open', async () => {
  const { desk } = await deskBeside()
  expect(await desk.store.log(JOB)).toEqual([])
  const phone = await joined()
  const other = await join(await phone.workshop.invite('owner'), phone.workshop)
  await begin(phone.store)
  await phone.sync.now()
  await other.sync.now()
  expect(await places(other.store)).toHaveLength(1)
  await close(phone.store)
  await phone.sync.now()
  await other.sync.now()
  expect(await places(other.store)).toHaveLength(2)
})

test.each(['stays', 'breaks off'])(
  'a desk is told of the end of a job that ended between two pages, when the line %s',
  async (how) => {
    const phone = await joined()
    const desk = await join(await phone.workshop.invite('owner'), phone.workshop)
    await begin(phone.store, 120)
    await phone.sync.now()
    const sync = syncOf(desk.store, desk.workshop) // which asks for a small page at first
    let pages = 0
    desk.workshop.line = ({ path }, answer) => {
      if (!path.startsWith('/api/log?')) return undefined
      pages += 1
      if (pages === 1) return undefined
      desk.workshop.line = () => undefined
      return close(phone.store)
        .then(() => phone.sync.now())
        .then(() => {
          if (how === 'breaks off')
            desk.workshop.line = (one) => (one.path.includes('/log?') ? portal() : undefined)
          return answer()
        })
    }
    await sync.now()
    desk.workshop.line = () => undefined
    await syncOf(desk.store, desk.workshop).now()
    const kinds = (await desk.store.log(JOB)).map(({ entry }) => entry.kind)
    expect(kinds.filter((kind) => kind === 'job.closed')).toHaveLength(1)
    expect((await desk.store.ledger.seen()).began).toBeNull()
  },
)

test('a desk that an older app gave the whole ledger keeps it, and goes on from there', async () => {
  const phone = await joined()
  await begin(phone.store)
  await phone.sync.now()
  const desk = await join(await phone.workshop.invite('owner'), phone.workshop)
  const before = await desk.store.ledger.seen()
  await desk.store.ledger.take({
    ...{ pulled: [], standings: {}, kept: [], seen: before },
    backups: await desk.store.ledger.backups(),
  })
  await close(phone.store)
  await phone.sync.now()
  desk.workshop.asked = []
  await desk.sync.now()
  expect(await places(desk.store)).toHaveLength(2)
  const [asking] = desk.workshop.asked.filter(({ path }) => path.startsWith('/api/log'))
  expect(asking?.path).toContain(`since=${before.cursor}&held=${before.cursor}`)
})

test('a desk whose pages broke off is told of the end of a job that they told of as open', async () => {
  const phone = await joined()
  const { workshop } = phone
  const desk = await join(await workshop.invite('owner'), workshop)
  await begin(phone.store, 20)
  await phone.sync.now()
  let pages = 0
  workshop.line = (one) => {
    if (!one.path.startsWith('/api/log')) return undefined
    one.path = `${one.path.replace(/&most=\d+/, '')}&most=10`
    return (pages += 1) < 2 ? undefined : Promise.reject(new TypeError('no line'))
  }
  await desk.sync.now()
  const here = (await places(desk.store)).length
  expect([here > 0, here < 20]).toEqual([true, true])
  workshop.line = () => undefined
  await close(phone.store)
  await phone.sync.now()
  await desk.sync.now()
  expect((await desk.store.log(JOB)).some(({ entry }) => entry.kind === 'job.closed')).toBe(true)
  expect(await places(desk.store)).toHaveLength(21)
})

test('a job that is looked at and cannot be had is no reason to send nothing', async () => {
  const { desk } = await deskBeside()
  await desk.sync.bringJobs([JOB])
  desk.workshop.line = (one) =>
    one.path.startsWith(`/api/jobs/${JOB}/log`) ? Promise.resolve(refusal(500, 'record-damaged')) : undefined
  await begin(desk.store)
  await desk.sync.now()
  expect(await places(desk.store)).toEqual(['workshop', 'workshop', 'workshop'])
})

test('a job that is looked at is brought, checked and kept, and later what has come to it since', async () => {
  const { desk, phone } = await deskBeside()
  expect(await desk.sync.bringJobs([JOB])).toEqual({ ok: true, value: null })
  expect(await places(desk.store)).toEqual(['workshop', 'workshop'])
  await begin(phone.store)
  await phone.sync.now()
  desk.workshop.asked = []
  await desk.sync.bringJobs([JOB])
  expect(await places(desk.store)).toHaveLength(3)
  const since = desk.workshop.asked.find(({ path }) => path.startsWith(`/api/jobs/${JOB}/log`))?.path
  expect(since).toMatch(/since=[1-9]/)
  // Without a line what is held stays, and why there is no more is told.
  desk.workshop.line = () => Promise.reject(new TypeError('no line'))
  expect(await desk.sync.bringJobs([JOB])).toMatchObject({ ok: false, trouble: { code: 'offline' } })
  expect(await places(desk.store)).toHaveLength(3)
})

test('a job that a screen has brought is looked after by the rounds', async () => {
  const { desk, phone } = await deskBeside()
  await desk.sync.bringJobs([JOB])
  await begin(phone.store)
  await phone.sync.now()
  await desk.sync.now()
  expect(await places(desk.store)).toHaveLength(3)
})

test('a job is brought beside a round, and neither takes from what the other has seen', async () => {
  const { desk, phone } = await deskBeside()
  await begin(phone.store, 60)
  await phone.sync.now()
  await Promise.all([desk.sync.now(), desk.sync.bringJobs([JOB]), desk.sync.bringJobs([JOB])])
  expect(await places(desk.store)).toHaveLength(62)
  const { cursor, size } = await desk.store.ledger.seen()
  expect([cursor, size]).toEqual([desk.workshop.records.length, desk.workshop.records.length])
  expect(desk.sync.alarm.value).toBeNull()
})

test('who came in while a job was being brought is let in before what was written in it is doubted', async () => {
  const { desk, phone } = await deskBeside()
  let late: Joined | null = null
  desk.workshop.line = (one, answer) => {
    if (late || !one.path.startsWith(`/api/jobs/${JOB}/log`)) return undefined
    desk.workshop.line = () => undefined
    return (async () => {
      late = await join(await phone.workshop.invite('mechanic'), phone.workshop)
      await begin(late.store)
      await late.sync.now()
      return answer()
    })()
  }
  expect(await desk.sync.bringJobs([JOB])).toEqual({ ok: true, value: null })
  expect(await places(desk.store)).toHaveLength(3)
  expect(desk.sync.alarm.value).toBeNull()
})

test('a job that comes into sight for the second time is made whole for the second time', async () => {
  const { desk, phone } = await deskBeside()
  const { workshop } = phone
  const hidden = new Set(workshop.records.map(({ entry }) => entry.id))
  /** As the workshop tells of a job again that was handed back: from there on. */
  const handedBack = async () => {
    for (const { entry } of workshop.records) hidden.add(entry.id)
    await phone.store.write(JOB, async (w) => void (await w.entry('step.begun', { step: 'again' })))
    await phone.sync.now()
    const told = workshop.records.filter(({ entry }) => entry.job === JOB && !hidden.has(entry.id))
    const { seen, backups } = desk.store.ledger
    const [at, page] = [await seen.call(desk.store.ledger), await backups.call(desk.store.ledger)]
    const pulled = told.map(({ entry }) => ({
      entry,
      index: workshop.records.findIndex((one) => one.entry.id === entry.id),
      standing: 'good' as const,
    }))
    await desk.store.ledger.take({ pulled, standings: {}, kept: [], backups: page, seen: at })
    await desk.sync.now()
    return workshop.records.filter(({ entry }) => entry.job === JOB).length
  }
  for (const _ of ['once', 'twice']) {
    const all = await handedBack()
    expect(await places(desk.store)).toHaveLength(all)
    await begin(phone.store) // and what the desk is not told of, after it was closed again
    await phone.sync.now()
  }
})

test('a record of a job that is looked at and was altered is an alarm, and nothing of it is kept', async () => {
  const phone = await joined()
  await begin(phone.store)
  await close(phone.store)
  await phone.sync.now()
  const forged = phone.workshop.records.find(({ entry }) => entry.job === JOB)
  if (!forged) throw new Error('no record')
  forged.text = forged.text.replace('step_0', 'step_9')
  const desk = await join(await phone.workshop.invite('owner'), phone.workshop)
  expect(desk.sync.alarm.value).toBeNull()
  expect(await desk.sync.bringJobs([JOB])).toMatchObject({ ok: false })
  expect(await desk.store.log(JOB)).toEqual([])
  expect(desk.sync.alarm.value).not.toBeNull()
})

test('a workshop that was put back is found out by a job that is looked at, and told all by the round', async () => {
  const { desk, phone } = await deskBeside()
  await desk.sync.bringJobs([JOB])
  const [old, job] = [desk.workshop.records.slice(0, -2), desk.workshop.records.slice(-2)]
  expect(job.map(({ entry }) => entry.job)).toEqual([JOB, JOB])
  desk.workshop.records = old
  expect(await desk.sync.bringJobs([JOB])).toMatchObject({ ok: false })
  await desk.sync.now()
  await desk.sync.now()
  expect(desk.sync.alarm.value?.code).toBe('rewound')
  expect(desk.workshop.records.filter(({ entry }) => entry.job === JOB)).toHaveLength(2)
  expect((await desk.store.ledger.seen()).cursor).toBe(desk.workshop.records.length)
  expect(phone.workshop).toBe(desk.workshop)
})

test('a second window brings nothing by itself, and says so', async () => {
  const { desk } = await deskBeside()
  const second = await openStore({ name: desk.name, locks: desk.locks })
  const beside = syncOf(second, desk.workshop)
  expect(await beside.bringJobs([JOB])).toMatchObject({ ok: false, trouble: { code: 'second-tab' } })
})

test('a second window that hears the first has it bring a job, and reads it', async () => {
  const { desk } = await deskBeside()
  const second = await openStore({ name: desk.name, locks: desk.locks })
  const windows = [0, 1].map(() => new BroadcastChannel('windows of this test'))
  const [beside] = [second, desk.store].map(
    (store, i) =>
      new PhoneSync(store, {
        fetch: desk.workshop.fetch,
        now: () => NOW,
        chance: () => 0.5,
        windows: windows[i]!,
      }),
  )
  expect(await places(second)).toEqual([])
  expect(await beside?.bringJobs([JOB])).toEqual({ ok: true, value: null })
  expect(await places(second)).toEqual(['workshop', 'workshop'])
  desk.workshop.line = () => Promise.reject(new TypeError('no line'))
  expect(await beside?.bringJobs([JOB])).toMatchObject({ ok: false, trouble: { code: 'offline' } })
  for (const one of windows) one.close()
})

test('a second window asks the workshop as soon as the first is closed', async () => {
  const { desk, phone } = await deskBeside()
  const second = await openStore({ name: desk.name, locks: desk.locks })
  const beside = syncOf(second, desk.workshop)
  vi.stubGlobal('addEventListener', () => undefined)
  vi.stubGlobal('document', { addEventListener: () => undefined })
  beside.start()
  vi.unstubAllGlobals()
  await begin(phone.store)
  await phone.sync.now()
  const reached = async () => (await second.ledger.seen()).cursor
  expect(await reached()).toBeLessThan(desk.workshop.records.length)
  await desk.store.close()
  await vi.waitFor(async () => expect(await reached()).toBe(desk.workshop.records.length))
})

test('a workshop that rewrote what was before is found out', async () => {
  const { store, sync, workshop } = await joined()
  await sync.now()
  // The same sizes, one record's time changed, and more records after it: the asker is told nothing.
  const first = workshop.records[1]
  if (!first) throw new Error('no record')
  first.text = first.text.replace('12:00:00.000Z +0', '12:00:00.001Z +0')
  await workshop.invite('auditor')
  workshop.line = (one, answer) => (one.headers.delete('Two-Turns-Seen'), answer())
  await sync.now()
  expect([sync.status.value.state, sync.alarm.value?.code]).toEqual(['stopped', 'forked'])
  expect(store.trouble.value).toBeNull()
})

test('another root at the size that was seen is found out', async () => {
  const { sync, workshop } = await joined()
  const first = workshop.records[1]
  if (!first) throw new Error('no record')
  first.text = first.text.replace('12:00:00.000Z +0', '12:00:00.001Z +0')
  workshop.line = (one, answer) => (one.headers.delete('Two-Turns-Seen'), answer())
  await sync.now()
  expect(sync.alarm.value?.code).toBe('forked')
})

test('another entry at a place that was taken is found out', async () => {
  const { store, sync, workshop } = await joined()
  await begin(store)
  await sync.now()
  const index = workshop.records.findIndex(({ entry }) => entry.job === JOB)
  const stranger = await workshop.state('lot.recalled', { lot: 'B-7', because: 'cracked' })
  workshop.records.splice(index, 1)
  workshop.records = workshop.records.filter(({ entry }) => entry.id !== stranger.id)
  workshop.records.splice(index, 0, { entry: stranger, text: `2026-11-24T12:00:00.000Z +0 ${stranger.line}` })
  await workshop.invite('auditor')
  workshop.line = (one, answer) => (one.headers.delete('Two-Turns-Seen'), answer())
  workshop.asked = []
  await sync.now()
  expect(sync.alarm.value?.code).toBe('forked')
  expect(asked(workshop)).toEqual(['GET /api/log'])
})

test('backed up is what lies below a backup’s size, and only while it is said to stand', async () => {
  const { store, sync, workshop } = await joined()
  await begin(store, 2)
  await sync.now()
  const index = workshop.records.findIndex(({ entry }) => entry.job === JOB)
  await workshop.state('backup.made', { size: index + 1 })
  await sync.now()
  expect(await places(store)).toEqual(['backup', 'workshop'])
  const size = workshop.records.length
  await workshop.state('backup.outside', { size, until: '2000-01-01T00:00:00.000Z' })
  await sync.now()
  expect(await places(store)).toEqual(['backup', 'workshop'])
  await workshop.state('backup.outside', { size, until: '2999-01-01T00:00:00.000Z' })
  await sync.now()
  expect(await places(store)).toEqual(['backup', 'backup'])
  expect(store.places.value).toMatchObject({ phone: 0, workshop: 0, backup: 3 })
})

test('an old session is renewed without a word', async () => {
  const { store, sync, workshop } = await joined()
  await begin(store)
  workshop.signedIn = false
  const before = workshop.sessions
  await sync.now()
  expect([workshop.sessions - before, sync.status.value.state, await places(store)]).toEqual([
    1,
    'idle',
    ['workshop'],
  ])
})

test('a receipt may name one record twice, as sent and as receipt, and none in two texts', async () => {
  const one = { index: 0, record: 'a blob.kept that was brought back' }
  const head = { origin: '', size: 1, root: await leafHash(new TextEncoder().encode(one.record)) }
  expect(await isProven([one, one], head, [])).toBe(true)
  expect(await isProven([one, { ...one, record: 'another' }], head, [])).toBe(false)
  expect(await isProven([{ ...one, record: 'another' }, one], head, [])).toBe(false)
})

test('a revoked phone that lost all it had pulled still sends what it wrote', async () => {
  const { store: before, workshop } = await joined()
  workshop.revoked = true
  const { store } = await openPhone()
  await become(store, before.device.value!)
  await begin(store)
  const sync = syncOf(store, workshop)
  await sync.now()
  expect([await places(store), sync.status.value.state]).toEqual([['workshop'], 'stopped'])
})

test('a revoked phone says so, and still sends what it wrote', async () => {
  const { store, sync, workshop } = await joined()
  await begin(store)
  workshop.revoked = true
  await sync.now()
  expect(await places(store)).toEqual(['workshop'])
  expect(sync.status.value.words).toMatch(/^The owner has withdrawn this phone\./)
})

test('a procedure is offered when all of it is here, and not before', async () => {
  const { store, sync, workshop } = await joined()
  const picture = new Uint8Array([1, 2, 3])
  const bundle = await publish(workshop, picture)
  const asset = [...workshop.blobs].find(([, bytes]) => bytes === picture)?.[0] ?? ''
  workshop.blobs.set(asset, new Uint8Array([1, 2, 4]))
  await sync.now()
  expect(await store.bundles()).toMatchObject([
    { bundle, offered: false, because: { code: 'bundle-damaged' } },
  ])

  workshop.blobs.set(asset, picture)
  await sync.now()
  expect(await store.bundles()).toMatchObject([
    { bundle, name: 'Van drive', edition: 1, offered: true, because: null },
  ])
  expect(await (await store.asset(asset))?.bytes()).toEqual(picture)
  expect(await store.bundle(bundle)).toMatchObject({ v: 1 })

  workshop.bundles = [{ ...workshop.bundles[0], withdrawn: 'wrong torque' }, ...workshop.bundles.slice(1)]
  workshop.line = (one, answer) => (one.headers.delete('If-None-Match'), answer())
  await sync.now()
  expect(await store.bundles()).toMatchObject([{ offered: false, because: { code: 'bundle-withdrawn' } }])
  expect(await store.bundle(bundle)).toMatchObject({ v: 1 })
})

test('a procedure that the list names and nobody signed for is not offered', async () => {
  const { store, sync, workshop } = await joined()
  const bundle = await publish(workshop, new Uint8Array([1, 2, 3]))
  // Somebody in between swaps it for one of his own, and calls the true one fit for another engine.
  const text = '{"assets":[],"v":1}'
  const own = await blobId(new TextEncoder().encode(text))
  workshop.blobs.set(own, new TextEncoder().encode(text))
  workshop.bundles = [
    { ...workshop.bundles[0], engine_codes: ['EVERY'] },
    { ...workshop.bundles[0], bundle: own, edition: 9 },
  ]
  await sync.now()
  const rows = new Map((await store.bundles()).map((row) => [row.bundle, row]))
  expect(rows.get(own)).toMatchObject({ offered: false, because: { code: 'bundle-not-published' } })
  expect(await store.bundle(own)).toBeNull()
  expect(rows.get(bundle)).toMatchObject({ offered: true, engineCodes: ['QX19'] })
})

test('what takes a stop otherwise is offered on the word of an owner, and not of the console', async () => {
  const { store, sync, workshop } = await joined()
  const rules = [{ id: 'crank_turned', instead: {}, kind: 'stop' }]
  const bundle = await publish(workshop, new Uint8Array([1, 2, 3]), 1, rules)
  await sync.now()
  const because = { code: 'bundle-not-published' }
  expect(await store.bundles()).toMatchObject([{ bundle, offered: false, because }])
  const owner = await join(await workshop.invite('owner'), workshop)
  const said = { bundle, name: 'Van drive', edition: 1, engine_codes: ['QX19'] }
  await owner.store.write(null, async (writing) => void (await writing.entry('bundle.published', said)))
  await owner.sync.now()
  workshop.line = (one, answer) => (one.headers.delete('If-None-Match'), answer())
  await sync.now()
  expect(await store.bundles()).toMatchObject([{ bundle, offered: true, because: null }])
})

test('a procedure that was withdrawn is not offered, though the list hides it', async () => {
  const { store, sync, workshop } = await joined()
  const bundle = await publish(workshop, new Uint8Array([1, 2, 3]))
  await sync.now()
  expect(await store.bundles()).toMatchObject([{ offered: true }])
  await workshop.state('bundle.withdrawn', { bundle, because: 'wrong torque' })
  await sync.now()
  expect(await store.bundles()).toMatchObject([{ offered: false, because: { code: 'bundle-withdrawn' } }])
})

test('a line that breaks while a procedure comes leaves it unoffered, not damaged', async () => {
  const { store, sync, workshop } = await joined()
  await publish(workshop, new Uint8Array([1, 2, 3]))
  workshop.line = ({ path }) => (path.startsWith('/api/blobs/') ? portal() : undefined)
  await sync.now()
  expect(await store.bundles()).toMatchObject([{ offered: false, because: { code: 'bundle-incomplete' } }])
  workshop.line = () => undefined
  await sync.now()
  expect(await store.bundles()).toMatchObject([{ offered: true }])
})

test('what others said of an open job is here before it is needed', async () => {
  const { store, sync, workshop } = await joined()
  const other = await join(await workshop.invite('owner'), workshop)
  await other.store.write(JOB, async (writing) => {
    const [vin, plate] = [
      await writing.secret('vin', 'TT000000000000001'),
      await writing.secret('plate', 'WEIR 12'),
    ]
    const said = { bundle: 'b'.repeat(64), vin, plate, odometer_km: 1, engine_code: 'QX19', bay: '3' }
    await writing.entry('job.opened', said)
  })
  await other.sync.now()
  await sync.now()
  const [row] = await store.jobs()
  workshop.line = () => Promise.reject(new TypeError('no signal'))
  expect(row && (await sync.value(row.plate))).toBe('WEIR 12')
  expect(await sync.value({ blob: '0'.repeat(64) })).toBeNull()
})

test('retries come later and later, by chance within half of it', async () => {
  const { sync, workshop } = await joined()
  workshop.line = portal
  const timer = vi.spyOn(globalThis, 'setTimeout')
  const waits: number[] = []
  for (let n = 0; n < 10; n++) {
    timer.mockClear()
    await sync.now()
    waits.push(timer.mock.calls.map(([, ms]) => ms ?? 0).at(-1) ?? 0)
  }
  timer.mockRestore()
  expect(waits.slice(0, 3)).toEqual([1500, 3000, 6000])
  expect(waits.at(-1)).toBe(225_000)
})

test('a line that breaks again and again, and carries something each time, is not waited for longer and longer', async () => {
  const { sync, store, workshop } = await joined()
  await shoot(store, 900_000)
  let [pieces, carried] = [0, 1]
  workshop.line = ({ method }) =>
    method === 'PATCH' && ++pieces > carried ? Promise.reject(new TypeError('cut')) : undefined
  const timer = vi.spyOn(globalThis, 'setTimeout')
  const wait = async () => {
    timer.mockClear()
    pieces = 0
    await sync.now()
    return timer.mock.calls.map(([, ms]) => ms ?? 0).at(-1)
  }
  expect([await wait(), await wait(), await wait()]).toEqual([1500, 1500, 1500])
  carried = 0 // that it answers is not enough: what is sent must get through
  expect([await wait(), await wait(), await wait()]).toEqual([3000, 6000, 12_000])
  timer.mockRestore()
})

test('a slow answer is waited for while any of it comes, a silent line is given up', async () => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] })
  const text = JSON.stringify({
    records: [],
    next: 0,
    more: false,
    checkpoint: '',
    standings: {},
    rewound: false,
    pad: ' '.repeat(200),
  })
  let pieces = 0
  const drop = new ReadableStream<Uint8Array>({
    async pull(into) {
      await vi.advanceTimersByTimeAsync(20_000) // below what is silence; all of it takes five minutes
      into.enqueue(new TextEncoder().encode(text.slice(pieces * 20, ++pieces * 20)))
      if (pieces * 20 >= text.length) into.close()
    },
  })
  const signals: (AbortSignal | null | undefined)[] = []
  const api = new Api(
    (path, init) => {
      signals.push(init?.signal)
      if (path === '/slow')
        return Promise.resolve(new Response(drop, { headers: { 'Content-Type': 'application/json' } }))
      return new Promise((_, reject) =>
        init?.signal?.addEventListener('abort', () => reject(new Error('given up'))),
      )
    },
    async () => null,
  )
  expect(await api.json('/slow')).toMatchObject({ more: false })
  const silent = api.json('/silent').catch((error: unknown) => error)
  await vi.advanceTimersByTimeAsync(29_000)
  expect(signals.map((signal) => signal?.aborted)).toEqual([false, false])
  await vi.advanceTimersByTimeAsync(1_000)
  expect(await silent).toBeInstanceOf(Offline)
  const sent = api
    .json('/long', { method: 'POST', json: 'x'.repeat(60_000) })
    .catch((error: unknown) => error)
  await vi.advanceTimersByTimeAsync(90_000)
  expect(signals.at(-1)?.aborted).toBe(false)
  await vi.advanceTimersByTimeAsync(1_000)
  expect(await sent).toBeInstanceOf(Offline)
  vi.useRealTimers()
})

test('a line that breaks is asked for less at once, until it carries that', async () => {
  const { sync, store, workshop } = await joined()
  await begin(store, 60)
  const carried = 5
  workshop.line = ({ path, body }) => {
    const isTooMuch = path === '/api/entries' && (body as { lines: string[] }).lines.length > carried
    return isTooMuch ? Promise.reject(new TypeError('cut')) : undefined
  }
  for (let n = 0; n < 40 && store.places.value.phone; n++) await sync.now()
  expect(store.places.value.phone).toBe(0)
  expect(new Set(await places(store))).toEqual(new Set(['workshop']))
})

test('a page of the ledger that breaks off is asked for smaller, until one comes', async () => {
  const { sync, store, workshop } = await joined()
  for (let n = 0; n < 60; n++)
    await workshop.state('tool.registered', { tool: `T-${n}`, type: 'caliper', label: 'a caliper' })
  workshop.line = ({ path }) => {
    const most = new URL(path, 'http://workshop.test').searchParams.get('most')
    return path.startsWith('/api/log') && Number(most ?? 500) > 15
      ? Promise.reject(new TypeError('cut'))
      : undefined
  }
  for (let n = 0; n < 20 && (await store.ledger.seen()).cursor < workshop.records.length; n++)
    await sync.now()
  expect((await store.ledger.seen()).cursor).toBe(workshop.records.length)
})

test('a ledger that comes in pages says how far it is; what waits is named without noughts', async () => {
  const { sync, store, workshop } = await joined()
  for (let n = 0; n < 501; n++)
    await workshop.state('tool.registered', { tool: `T-${n}`, type: 'caliper', label: 'a caliper' })
  const words: string[] = []
  sync.status.subscribe((status) => void words.push(status.words))
  await sync.now()
  const read = words.filter((one) => one.startsWith('Reading')) // in pages that grow, of 200 and 400
  expect(read).toEqual([`Reading from the workshop: 204 of ${workshop.records.length} records.`])
  await shoot(store, 3000)
  workshop.line = ({ method }) => (method === 'PATCH' ? Promise.reject(new TypeError('cut')) : undefined)
  await sync.now()
  expect(sync.status.value.words).toBe('No line to the workshop. 1 photo is on this phone.')
})

test('a screen’s question gets words, not an exception', async () => {
  const { sync, workshop } = await joined()
  workshop.line = ({ path }) =>
    path === '/api/desk' ? Promise.resolve(refusal(404, 'not-found')) : undefined
  expect(await sync.ask('/api/desk')).toMatchObject({ ok: false, trouble: { code: 'not-found' } })
  workshop.line = portal
  expect(await sync.ask('/api/desk')).toMatchObject({ ok: false, trouble: { code: 'offline' } })
})

test('what only a newer app can read is kept in its place, and the rest of its page with it', async () => {
  const { store, sync, workshop } = await joined()
  const blessed = await workshop.stateNewer('step.blessed', { step: 5 }, JOB)
  const more = await workshop.stateNewer('device.revoked', {
    device: store.device.value?.id ?? '',
    because: 'x',
    colour: 'red',
  })
  await workshop.state('lot.recalled', { lot: 'L1', because: 'x' })
  await sync.now()
  expect(sync.status.value.state).toBe('idle')
  expect((await store.log(JOB)).map(({ entry, place }) => [entry.id, entry.kind, place])).toEqual([
    [blessed.id, 'unread', 'workshop'],
  ])
  const kinds = (await store.log(null)).map(({ entry }) =>
    entry.kind === 'unread' ? entry.wireKind : entry.kind,
  )
  expect(kinds.slice(-2)).toEqual(['device.revoked', 'lot.recalled'])
  expect(await store.unreadBy()).toEqual([blessed.person])
  await begin(store)
  await sync.now()
  const [, begun] = await store.log(JOB)
  expect([begun?.entry.after, begun?.place, begun?.standing]).toEqual([[blessed.id], 'workshop', 'good'])
  expect((await store.log(null)).find(({ entry }) => entry.id === more.id)?.entry.body).toEqual({})
})

test('what a workshop keeps and is too old to act on is told on the phone that wrote it, once', async () => {
  const { store, sync, workshop } = await joined()
  workshop.unread = ['step.begun']
  await begin(store)
  await sync.now()
  expect(store.notices.value).toMatchObject([
    {
      code: 'not-in-force',
      message: expect.stringMatching(/^1 entry .* not yet in force: the workshop's program is older/),
    },
  ])
  await store.dismiss('not-in-force')
  await sync.now()
  expect(store.notices.value).toEqual([])
})

test('an app says what it can read, and once it has become newer asks again for what it was not given', async () => {
  const { store, sync, workshop } = await joined()
  expect(workshop.asked.every(({ headers }) => headers.get('Two-Turns-Reads') === String(EDITION))).toBe(true)
  await begin(store, 3)
  await sync.now()
  const recalled = await workshop.state('lot.recalled', { lot: 'L1', because: 'x' })
  // As an app of the first edition left it: the workshop had held back one record.
  const size = workshop.records.length
  const head = {
    cursor: size,
    size,
    checkpoint: await workshop.checkpoint(),
    root: encodePadded(await workshop.root(size)),
  }
  const { reads: _, ...older } = await store.ledger.seen()
  await store.ledger.receive({ indices: {}, kept: [], refused: [], seen: { ...older, ...head } })
  await begin(store)
  workshop.asked = []
  await sync.now()
  const paths = workshop.asked.map(({ method, path }) => `${method} ${path}`)
  expect(paths.indexOf('GET /api/log?since=0')).toBeGreaterThan(paths.indexOf('POST /api/entries'))
  expect((await store.log(null)).map(({ entry }) => entry.id)).toContain(recalled.id)
  expect(await places(store)).toEqual(['workshop', 'workshop', 'workshop', 'workshop'])
  expect(await store.ledger.seen()).toMatchObject({ reads: EDITION, again: null })
  workshop.asked = []
  await sync.now()
  expect(workshop.asked.map(({ path }) => path)).not.toContain('/api/log?since=0')
})

test('what lay unread is read by a newer app when it comes again', async () => {
  const { store, sync, workshop } = await joined()
  const closed = await workshop.stateNewer('job.closed', { end: 'finished', colour: 'red' }, JOB)
  await sync.now()
  expect((await store.ledger.statements(['unread'])).map(({ entry }) => entry.id)).toEqual([closed.id])
  const { index } = (await store.log(JOB))[0] ?? {}
  const known = { ...closed, kind: 'job.closed', body: { end: 'finished' } } as Entry
  const seen = await store.ledger.seen()
  await store.ledger.take({
    pulled: [{ entry: known, index: index ?? -1, standing: 'good' }],
    standings: {},
    kept: [],
    backups: await store.ledger.backups(),
    seen,
  })
  expect(await store.ledger.statements(['unread'])).toEqual([])
  expect((await store.ledger.statements(['job.closed'])).map(({ entry }) => entry.id)).toEqual([closed.id])
})

test('a procedure made for a newer app is kept, and nobody works by it until the app is newer', async () => {
  const { store, sync, workshop } = await joined()
  const bundle = await publish(workshop, new Uint8Array([1, 2, 3]), FORM + 1)
  await sync.now()
  expect(await store.bundles()).toMatchObject([
    {
      bundle,
      offered: false,
      because: { code: 'bundle-newer', hint: expect.stringContaining('Update the app') },
    },
  ])
  expect(await store.bundle(bundle)).toBeNull()
  workshop.asked = []
  await sync.now()
  expect(asked(workshop)).toEqual(['GET /api/log', 'GET /api/bundles'])
})

test('a procedure that an older app could not read is offered by the newer one', async () => {
  const { store, sync, workshop } = await joined()
  const bundle = await publish(workshop, new Uint8Array([1, 2, 3]))
  await sync.now()
  const [kept] = await new BundleCache(store.inside).all()
  if (!kept) throw new Error('no bundle')
  const because = { code: 'bundle-newer', message: 'x', hint: 'y' }
  await new BundleCache(store.inside).keep({ ...kept, row: { ...kept.row, offered: false, because } })
  await sync.now()
  expect(await store.bundles()).toMatchObject([{ bundle, offered: true, because: null }])
})

test('a photo that the workshop wants back waits again, and is sent by itself', async () => {
  const { store, sync, workshop } = await joined()
  const sha = await shoot(store, 9_000)
  await sync.now()
  expect(await store.photoPlace(sha)).toBe('workshop')
  workshop.blobs.delete(sha)
  workshop.wanted = [sha, 'cd'.repeat(32)]
  await sync.now()
  expect(workshop.blobs.get(sha)?.length).toBe(9_000)
  expect(await store.photoPlace(sha)).toBe('workshop')
  workshop.wanted = []
  workshop.asked = []
  await sync.now()
  expect(asked(workshop).filter((one) => /uploads/.test(one))).toEqual([])
})

test('a private value that the workshop wants back is sent again', async () => {
  const { store, sync, workshop } = await joined()
  let blob = ''
  await store.write(JOB, async (writing) => {
    const text = await writing.secret('words', 'the nut was seized')
    blob = text.blob
    await writing.entry('note.added', { text })
  })
  await sync.now()
  workshop.blobs.delete(blob)
  workshop.wanted = [blob]
  await sync.now()
  expect(workshop.blobs.has(blob)).toBe(true)
})

test('a photo of which the bytes are not here any more is not offered', async () => {
  const { store, sync, workshop, name } = await joined()
  const sha = await shoot(store, 9_000)
  await sync.now()
  const db = await openDB(name)
  await db.delete('bytes', sha)
  db.close()
  workshop.wanted = [sha]
  workshop.asked = []
  await sync.now()
  expect(asked(workshop).filter((one) => /uploads/.test(one))).toEqual([])
  expect(store.places.value.photosWaiting).toBe(0)
})

const jpeg = (...bytes: number[]) => new Uint8Array([0xff, 0xd8, 0xff, 0xe0, ...bytes])

test('a photo that cannot be shown is told by its reason: line, workshop, damage, kind', async () => {
  const { sync, workshop } = await joined()
  const sha = await blobId(jpeg(1))
  expect(await sync.picture(sha)).toEqual({ at: 'not-there' })
  workshop.blobs.set(sha, jpeg(1))
  expect(await sync.picture(sha)).toMatchObject({ at: 'here' })
  workshop.blobs.set(sha, jpeg(2))
  expect(await sync.picture(sha)).toEqual({ at: 'damaged' })
  const html = new TextEncoder().encode('<!DOCTYPE html><script>alert(1)</script>')
  workshop.blobs.set(await blobId(html), html)
  expect(await sync.picture(await blobId(html))).toEqual({ at: 'no-picture' })
  const says =
    (status: number, code: string): Line =>
    ({ path }) =>
      path.startsWith('/api/blobs') ? Promise.resolve(refusal(status, code)) : undefined
  workshop.line = says(409, 'blob-damaged')
  expect(await sync.picture(sha, 320)).toEqual({ at: 'damaged' })
  workshop.line = says(415, 'no-copy')
  expect(await sync.picture(sha, 320)).toEqual({ at: 'no-picture' })
  workshop.line = says(401, 'device-revoked')
  expect(await sync.picture(sha, 320)).toEqual({ at: 'refused' })
  workshop.line = ({ path }) =>
    path.startsWith('/api/blobs') ? Promise.reject(new TypeError('no line')) : undefined
  expect(await sync.picture(sha)).toEqual({ at: 'no-line' })
})

test('a private value that is damaged in the workshop ends no round', async () => {
  const { sync, workshop } = await joined()
  workshop.line = ({ path }) =>
    /blobs\/[0-9a-f]{64}$/.test(path) ? Promise.resolve(refusal(409, 'blob-damaged')) : undefined
  await workshop.invite('mechanic') // names a person, whose name is to be fetched
  await sync.now()
  expect(sync.status.value.state).toBe('idle')
})

test('who was chosen while a round was learning names stays chosen', async () => {
  const { store, sync, workshop } = await joined()
  const { id, person } = store.device.value!
  const other = JOB.replace(/.$/, 'c')
  await workshop.state('device.serves', { device: id, persons: [person, other] })
  await sync.now()
  await workshop.name(person, 'Ada Weir-Lark') // of which this round has something to keep
  let go = () => undefined as void
  const held = new Promise<void>((resolve) => (go = resolve))
  const read = vi.spyOn(store, 'secretValue')
  read.mockImplementationOnce(async () => held.then(() => 'Ada Weir-Lark'))
  const round = sync.now()
  await vi.waitFor(() => expect(read).toHaveBeenCalled())
  const chosen = sync.workAs(other)
  await new Promise((later) => setTimeout(later, 20)) // time enough to be written before the round goes on
  go()
  await Promise.all([round, chosen])
  expect(store.device.value?.person).toBe(other)
  await sync.now()
  expect(store.device.value?.person).toBe(other)
})

test('a screen that asks who works while the first page comes in takes nothing of it away', async () => {
  const workshop = await FakeWorkshop.open()
  hearsOfItsEnrolmentAlone(workshop)
  const { store, sync } = await join(await workshop.invite('mechanic'), workshop)
  workshop.line = () => undefined
  const { ledger } = store
  const [follow, statements, take] = [
    ledger.follow.bind(ledger),
    ledger.statements.bind(ledger),
    ledger.take.bind(ledger),
  ]
  let [isLed, asks] = [false, 0]
  let go = () => undefined as void
  const taken = new Promise<void>((resolve) => (go = resolve))
  vi.spyOn(ledger, 'follow').mockImplementation(async (...led) => {
    isLed = true
    return follow(...led)
  })
  vi.spyOn(ledger, 'statements').mockImplementation(async (...kinds) => {
    const found = await statements(...kinds)
    if (isLed && ++asks === 1)
      void sync.persons() // the screen, at the moment when the round reads who is who
    else if (asks === 2) await taken // a second one reads what was here before the page, and is late
    return found
  })
  vi.spyOn(ledger, 'take').mockImplementation(async (page) => {
    go()
    return take(page)
  })
  await sync.now()
  expect([sync.status.value.state, sync.alarm.value]).toEqual(['idle', null])
  expect(await sync.persons()).toEqual([store.device.value?.person])
})

test('an alarm that came while one before it was dealt with is still shown', async () => {
  const { store, sync, workshop } = await joined()
  await begin(store)
  await sync.now()
  await store.alarm.keep({ code: 'forked', message: 'Two histories.', hint: 'Tell the owner.' })
  await sync.now()
  expect(sync.alarm.value?.code).toBe('forked')
  workshop.records = workshop.records.slice(0, -1) // the owner puts it back to a backup
  let go = () => undefined as void
  const held = new Promise<void>((resolve) => (go = resolve))
  workshop.line = ({ path }, answer) => (path === '/api/entries' ? held.then(answer) : undefined)
  const round = sync.now()
  await vi.waitFor(async () => expect((await store.alarm.read())?.code).toBe('rewound'))
  await sync.dismiss()
  go()
  await round
  expect(sync.alarm.value?.code).toBe('rewound')
})

test('that a newer app reads the ledger again is not forgotten for a job that a screen has brought just then', async () => {
  const { store, name, sync } = await joined()
  const db = await openDB(name)
  await db.put('things', { ...(await db.get('things', 'seen')), reads: 1 }, 'seen') // by an app of before
  db.close()
  const ledger = store.ledger
  const [again, take] = [ledger.again.bind(ledger), ledger.take.bind(ledger)]
  let brought: Promise<unknown> | undefined
  let go = () => undefined as void
  const noted = new Promise<void>((resolve) => (go = resolve))
  vi.spyOn(ledger, 'again').mockImplementation(async (edition) => {
    vi.spyOn(ledger, 'take').mockImplementationOnce((page) => noted.then(() => take(page)))
    brought = sync.bringJobs([JOB])
    await new Promise((later) => setTimeout(later, 50)) // time enough to be asked for and answered
    const from = await again(edition)
    go()
    return from
  })
  await sync.now()
  await brought
  expect(await ledger.seen()).toMatchObject({ reads: EDITION, again: null })
})
