import { afterEach, expect, test, vi } from 'vitest'
import { parseEntry, verifyEntry } from '@client/ledger/entry'
import { NotKept, storeOf, type PhoneStore } from '@client/store'
import { Database } from '@client/store/database'
import { Reader } from '@client/store/reading'
import { enrolledPhone, freshName, JOB, keepPhoto, Locks, noteOf, openPhone } from './phone'

afterEach(() => vi.restoreAllMocks())

/** What the workshop's answers do to a phone: entries and blobs it has, and how far each of the job's is then. */
const answering = (store: PhoneStore) => ({
  receive: (indices: Record<string, number>, kept: { blob: string; index: number }[]) =>
    store.ledger.receive({
      indices,
      kept,
      refused: [],
      seen: { cursor: 9, checkpoint: null, size: 9, root: '' },
    }),
  place: async () => (await store.log(JOB)).map((held) => held.place),
})

const begin = (store: PhoneStore, step = 'cover_off') =>
  store.write(JOB, async (writing) => void (await writing.entry('step.begun', { step })))

const picture = (text: string) => new Blob([text], { type: 'image/jpeg' })

const troubleOf = (refused: unknown) => (refused as NotKept).trouble.code

/** Make the n-th `add` or `put` into a store fail the whole transaction, as a full phone does. */
function abortWhenWriting(storeName: string, errorName: string): void {
  const put = IDBObjectStore.prototype.put
  vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementation(function (this: IDBObjectStore, ...args) {
    const request = put.apply(this, args as [unknown])
    if (this.name !== storeName) return request
    // fake-indexeddb aborts with a reason through its internals; a browser does it by itself.
    const tx = this.transaction as IDBTransaction & { _abort(name: string): void }
    tx._abort(errorName)
    return request
  })
}

test('seq counts over all jobs and after names what was seen', async () => {
  const { store, device } = await enrolledPhone()
  const [first, second] = await store.write(JOB, async (writing) => {
    const one = writing.entry('step.begun', { step: 'cover_off' })
    const two = writing.entry('step.done', { step: 'cover_off', proof: [] })
    await Promise.all([one, two])
  })
  const [statement] = await store.write(null, async (writing) => {
    await writing.entry('lot.recalled', { lot: 'B-7', because: 'cracked teeth' })
  })
  const [third] = await begin(store, 'belt_off')
  expect([first, second, statement, third].map((entry) => entry?.seq)).toEqual([1, 2, 3, 4])
  expect(first?.after).toEqual([])
  expect(second?.after).toEqual([first?.id])
  expect(statement?.after).toEqual([])
  expect(third?.after).toEqual([second?.id])
  for (const entry of [first, second, statement, third]) {
    expect(await verifyEntry(await parseEntry(entry?.line ?? ''), device.key)).toBe(true)
  }
})

test('a first screen that shows no count is not kept waiting by one, and an act waits for all', async () => {
  const { store, name, locks } = await enrolledPhone()
  await begin(store)
  await store.close()
  const again = storeOf({ name, locks })
  let stands: () => void = () => undefined
  const opened = again.open(
    new Promise<void>((resolve) => {
      stands = resolve
    }),
  )
  await again.known
  expect([again.device.value !== null, again.counted.value, again.writer.value]).toEqual([true, false, false])
  expect(await again.log(JOB)).toHaveLength(1)
  const act = begin(again, 'belt_off')
  expect(await Promise.race([act, new Promise((resolve) => setTimeout(resolve, 50, 'waits'))])).toBe('waits')
  stands()
  await opened
  expect([again.counted.value, again.writer.value]).toEqual([true, true])
  expect((await act)[0]?.seq).toBe(2)
  expect(again.places.value.phone).toBe(2)
})

test('a phone that is sealed, or nobody yet, counts before a screen is shown: that shows how much is here', async () => {
  const never = new Promise<void>(() => undefined)
  const { store, name, locks } = await enrolledPhone()
  await store.signOut()
  await store.close()
  const sealed = storeOf({ name, locks })
  await sealed.open(never)
  expect([sealed.sealed.value, sealed.counted.value]).toEqual(['signed-out', true])
  const fresh = storeOf({ name: freshName(), locks: new Locks() })
  await fresh.open(never)
  expect(fresh.counted.value).toBe(true)
})

test('what was written is there after the next start', async () => {
  const { store, name } = await enrolledPhone()
  const [entry] = await begin(store)
  await store.close()
  const { store: again } = await openPhone(name)
  const log = await again.log(JOB)
  expect(log.map((held) => [held.entry.line, held.place, held.mine])).toEqual([[entry?.line, 'phone', true]])
  const [next] = await begin(again, 'belt_off')
  expect([next?.seq, next?.after]).toEqual([2, [entry?.id]])
})

test('an act that goes on from another is kept by one transaction of few requests, and read back by one each', async () => {
  const { store } = await enrolledPhone()
  await begin(store)
  const asked: string[] = []
  for (const call of ['get', 'getKey', 'getAll', 'put', 'add', 'count'] as const) {
    const native = IDBObjectStore.prototype[call] as (...args: unknown[]) => IDBRequest
    vi.spyOn(IDBObjectStore.prototype, call).mockImplementation(function (
      this: IDBObjectStore,
      ...args: unknown[]
    ) {
      asked.push(`${this.transaction.mode} ${call} ${this.name}`)
      return native.apply(this, args) as never
    })
  }
  await store.write(JOB, async (writing) => {
    await writing.entry('step.begun', { step: 'belt_off' })
    await writing.entry('step.done', { step: 'belt_off', proof: [] })
  })
  expect(asked).toEqual([
    ...['things', 'things', 'views'].map((name) => `readwrite get ${name}`), // last number, devices, view: together
    ...['put things', 'add entries', 'add entries', 'put views'].map((call) => `readwrite ${call}`),
    ...['entries', 'entries'].map((name) => `readonly get ${name}`),
  ])
})

test('what was opened and closed here is counted without being looked for', async () => {
  const { store } = await enrolledPhone()
  const count = vi.spyOn(IDBIndex.prototype, 'count')
  const entry = (kind: 'job.closed' | 'step.begun', body: never) =>
    store.write(JOB, async (writing) => void (await writing.entry(kind, body)))
  await store.write(JOB, async (writing) => {
    const plate = await writing.secret('plate', 'WEIR 12')
    const vin = await writing.secret('vin', 'ZZ9DEMA24HB000123')
    const said = { bundle: 'a'.repeat(64), odometer_km: 1, engine_code: 'QX19', bay: '3' }
    await writing.entry('job.opened', { ...said, plate, vin })
  })
  expect(store.places.value).toMatchObject({ phone: 1, openHere: 1 })
  await entry('job.closed', { end: 'finished' } as never)
  expect(store.places.value).toMatchObject({ phone: 2, openHere: 0 })
  await entry('step.begun', { step: 'belt_off' } as never)
  expect(store.places.value).toMatchObject({ phone: 3, openHere: 0 })
  expect(count).not.toHaveBeenCalled()
})

test('a write resolves only after complete', async () => {
  const { store } = await enrolledPhone()
  const order: string[] = []
  const transaction = IDBDatabase.prototype.transaction
  vi.spyOn(IDBDatabase.prototype, 'transaction').mockImplementation(function (this: IDBDatabase, ...args) {
    const tx = transaction.apply(this, args)
    if (args[1] === 'readwrite') tx.addEventListener('complete', () => order.push('complete'))
    return tx
  })
  await begin(store)
  order.push('resolved')
  expect(order).toEqual(['complete', 'resolved'])
})

test('every change is strict', async () => {
  const { store } = await enrolledPhone()
  const transaction = vi.spyOn(IDBDatabase.prototype, 'transaction')
  await begin(store)
  await store.setIntent({ job: JOB, step: 'cover_off', name: 'covers' })
  await store.setSetting('theme', 'sun')
  const changes = transaction.mock.calls.filter(([, mode]) => mode === 'readwrite')
  expect(changes).toHaveLength(3)
  for (const [, , options] of changes) expect(options).toEqual({ durability: 'strict' })
})

test('a full phone keeps nothing of the act, all of what was before, and says so', async () => {
  const { store } = await enrolledPhone()
  const [before] = await begin(store)
  abortWhenWriting('bytes', 'QuotaExceededError')
  const act = keepPhoto(store, picture('a large picture'))
  const refused: unknown = await act.catch((error: unknown) => error)
  expect(refused).toBeInstanceOf(NotKept)
  expect(troubleOf(refused)).toBe('phone-full')
  expect(store.trouble.value?.code).toBe('phone-full')
  expect((await store.log(JOB)).map(({ entry }) => entry.id)).toEqual([before?.id])
  expect(store.places.value.photosWaiting).toBe(0)

  vi.restoreAllMocks()
  const [after] = await begin(store, 'belt_off')
  expect([after?.seq, after?.after, store.trouble.value]).toEqual([2, [before?.id], null])
})

test('what is read back otherwise than it was written is not claimed', async () => {
  const { store } = await enrolledPhone()
  const put = IDBObjectStore.prototype.put
  vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementation(function (this: IDBObjectStore, value, key) {
    // The disk turns one byte of the picture.
    const damaged =
      value instanceof ArrayBuffer ? new Uint8Array(value).fill(0, 0, 1).buffer : (value as unknown)
    return put.apply(this, [damaged, key])
  })
  const act = store.write(JOB, async (writing) => void (await writing.photo(picture('shot'))))
  expect(troubleOf(await act.catch((error: unknown) => error))).toBe('read-back-differs')
  expect(store.trouble.value?.code).toBe('read-back-differs')
})

test('what a caller does wrong is the caller’s, and keeps nothing', async () => {
  const { store } = await enrolledPhone()
  const act = store.write(JOB, async (writing) => {
    await writing.entry('step.begun', { step: 'cover_off' })
    await writing.entry('step.begun', { step: 'Not A Name' })
  })
  await expect(act).rejects.toMatchObject({ code: 'bad-body' })
  expect(await store.log(JOB)).toEqual([])
  expect(store.trouble.value).toBeNull()
})

test('a second tab may not write, and takes over when the first is closed', async () => {
  const { store, name, locks } = await enrolledPhone()
  const { store: second } = await openPhone(name, locks)
  expect([store.writer.value, second.writer.value]).toEqual([true, false])
  const refused: unknown = await begin(second).catch((error: unknown) => error)
  expect(troubleOf(refused)).toBe('second-tab')
  expect(await second.log(JOB)).toEqual([])

  const [first] = await begin(store)
  await store.close()
  await vi.waitFor(() => expect(second.writer.value).toBe(true))
  const [next] = await begin(second, 'belt_off')
  expect([next?.seq, next?.after]).toEqual([2, [first?.id]])
})

test('a second tab sees what the first has written', async () => {
  const { store, name, locks } = await enrolledPhone()
  const { store: second } = await openPhone(name, locks)
  const before = second.changed.value
  await begin(store)
  await vi.waitFor(() => expect(second.changed.value).toBeGreaterThan(before))
  await vi.waitFor(() => expect(second.places.value.phone).toBe(1))
})

test('a dead handle is opened again once', async () => {
  const { store } = await enrolledPhone()
  const transaction = IDBDatabase.prototype.transaction
  let failures = 1
  vi.spyOn(IDBDatabase.prototype, 'transaction').mockImplementation(function (this: IDBDatabase, ...args) {
    if (args[1] === 'readwrite' && failures-- > 0) throw new DOMException('closing', 'InvalidStateError')
    return transaction.apply(this, args)
  })
  const [entry] = await begin(store)
  expect((await store.log(JOB)).map((held) => held.entry.id)).toEqual([entry?.id])
})

test('a storage that stays dead is told, not hidden', async () => {
  const { store } = await enrolledPhone()
  vi.spyOn(IDBDatabase.prototype, 'transaction').mockImplementation(() => {
    throw new DOMException('closing', 'InvalidStateError')
  })
  const refused: unknown = await begin(store).catch((error: unknown) => error)
  expect(troubleOf(refused)).toBe('storage-silent')
})

test('a commit whose answer was lost counts as kept, once', async () => {
  const { store } = await enrolledPhone()
  const change = Database.prototype.change
  vi.spyOn(Database.prototype, 'change').mockImplementationOnce(async function (this: Database, ...args) {
    await change.apply(this, args)
    throw new DOMException('the handle died', 'UnknownError')
  })
  const [entry] = await begin(store)
  expect((await store.log(JOB)).map((held) => [held.entry.id, held.entry.seq])).toEqual([[entry?.id, 1]])
  const [next] = await begin(store, 'belt_off')
  expect([next?.seq, next?.after]).toEqual([2, [entry?.id]])
})

test('private values and photos come back as they were given', async () => {
  const { store } = await enrolledPhone()
  let sha = ''
  const [entry] = await store.write(JOB, async (writing) => {
    sha = await writing.photo(picture('shot'))
    const text = await writing.secret('words', 'Kühlmittel läuft aus') // decomposed as a keyboard may send it
    await writing.entry('note.added', { text })
  })
  const { text } = entry!.body as { text: { blob: string } }
  expect(await store.secretValue(text)).toBe('Kühlmittel läuft aus'.normalize('NFC'))
  expect(await store.secretValue({ blob: '0'.repeat(64) })).toBeNull()
  const kept = await store.photo(sha)
  expect([await kept?.text(), kept?.type, await store.photoPlace(sha)]).toEqual([
    'shot',
    'image/jpeg',
    'phone',
  ])
  expect(store.places.value).toMatchObject({ phone: 1, photosWaiting: 1, bytesWaiting: 4 })
})

test('the entry of a photo is as far as its bytes are, not farther', async () => {
  const { store } = await enrolledPhone()
  const [entry] = await keepPhoto(store, picture('shot'))
  const { id = '', body } = entry ?? {}
  const { blob } = body as { blob: string }
  const { receive, place } = answering(store)
  await receive({ [id]: 7 }, [])
  expect(await place()).toEqual(['phone'])
  await receive({}, [{ blob, index: 8 }])
  expect(await place()).toEqual(['workshop'])
})

test('what the workshop holds back stands as its receipt says', async () => {
  const { store } = await enrolledPhone()
  const [entry] = await store.write(JOB, (writing) => writing.entry('job.taken', {}).then(() => undefined))
  const id = entry?.id ?? ''
  await store.ledger.receive({
    indices: { [id]: 7 },
    kept: [],
    refused: [],
    held: { [id]: 'doubted' },
    seen: { cursor: 0, checkpoint: null, size: 9, root: '' },
  })
  expect((await store.log(JOB)).map(({ standing, place }) => [standing, place])).toEqual([
    ['doubted', 'workshop'],
  ])
})

test('what was not taken for want of its job waits again when the job comes in, and nothing else does', async () => {
  const { store } = await enrolledPhone()
  const { store: other } = await enrolledPhone()
  const elsewhere = (job: string) =>
    store.write(job, async (writing) => void (await writing.entry('step.begun', { step: 'belt_off' })))
  const written = [
    ...(await begin(store)),
    ...(await begin(store)),
    ...(await elsewhere(JOB.replace('aa', 'bb'))),
  ]
  const [unknown, invalid, ofAnother] = written.map(({ id }) => id) as [string, string, string]
  const refused = { [unknown]: 'not-found', [invalid]: 'invalid', [ofAnother]: 'not-found' }
  const seen = { cursor: 0, checkpoint: null, size: 9, root: '' }
  await store.ledger.receive({
    indices: {},
    kept: [],
    refused: Object.entries(refused).map(([id, code]) => ({ id, trouble: { code, message: '', hint: '' } })),
    seen,
  })
  expect(await store.ledger.waiting(false)).toEqual([])
  const [came] = await begin(other)
  if (!came) throw new Error('nothing was written')
  const pulled = [{ entry: came, index: 0, standing: 'good' as const }]
  await store.ledger.take({ pulled, standings: {}, kept: [], backups: { made: 0, outside: [] }, seen })
  expect((await store.ledger.waiting(false)).map(({ id }) => id)).toEqual([unknown])
})

test('a reading is as far as the last thing that its instrument saw', async () => {
  const { store } = await enrolledPhone()
  const [entry] = await store.write(JOB, async (writing) => {
    const sheet = new Blob(['{"by":"pluck"}'], { type: 'application/json' })
    const clip = new Blob(['RIFF'], { type: 'audio/wav' })
    const saw = [
      { blob: await writing.photo(sheet), size: sheet.size, type: 'application/json' as const },
      { blob: await writing.photo(clip), size: clip.size, type: 'audio/wav' as const },
    ]
    await writing.entry('reading.taken', noteOf(saw))
  })
  const { id = '', body } = entry ?? {}
  const [sheet, clip] = (body as { saw: { blob: string }[] }).saw.map(({ blob }) => blob)
  const { receive, place } = answering(store)
  await receive({ [id]: 6 }, [{ blob: sheet ?? '', index: 7 }])
  expect(await place()).toEqual(['phone'])
  await receive({}, [{ blob: clip ?? '', index: 8 }])
  expect(await place()).toEqual(['workshop'])
  expect(await (await store.photo(clip ?? ''))?.text()).toBe('RIFF')
})

test('the intent survives the next start, and goes when it is fulfilled', async () => {
  const { store, name } = await enrolledPhone()
  const intent = { job: JOB, step: 'belt_off', name: 'belt_photo' }
  await store.setIntent(intent)
  await store.close()
  const { store: again } = await openPhone(name)
  expect(await again.intent()).toEqual(intent)
  await again.setIntent(null)
  expect(await again.intent()).toBeNull()
})

test('the list of jobs grows with the entries', async () => {
  const { store } = await enrolledPhone()
  await store.write(JOB, async (writing) => {
    const [vin, plate] = [
      await writing.secret('vin', 'W0L0XCF0814000001'),
      await writing.secret('plate', 'TT 27'),
    ]
    const bundle = 'b'.repeat(64)
    const said = { bundle, vin, plate, odometer_km: 91000, engine_code: 'QX19', bay: '3' }
    await writing.entry('job.opened', said)
  })
  expect(await store.jobs()).toMatchObject([
    { job: JOB, bay: '3', engineCode: 'QX19', end: null, entries: 1, mine: true },
  ])
  expect(store.places.value.openHere).toBe(1)
  await store.write(JOB, async (writing) => void (await writing.entry('job.closed', { end: 'finished' })))
  expect(await store.jobs()).toMatchObject([{ end: 'finished', entries: 2 }])
  expect(store.places.value.openHere).toBe(0)
  expect(await store.job(JOB)).toEqual((await store.jobs())[0])
  expect(await store.job('another')).toBeNull()
})

test('statements of some kinds are those of the whole log', async () => {
  const { store } = await enrolledPhone()
  for (const lot of ['L1', 'L2'])
    await store.write(null, async (w) => void (await w.entry('lot.recalled', { lot, because: 'teeth' })))
  const all = await store.log(null)
  const kinds = ['lot.recalled', 'device.enrolled']
  const some = await store.statements(kinds)
  expect(some).toEqual(all.filter(({ entry }) => kinds.includes(entry.kind)))
  expect(some.length).toBeGreaterThanOrEqual(2)
  expect(await store.statements([])).toEqual([])
})

test('entries that came from elsewhere become part of the next after', async () => {
  const { store } = await enrolledPhone()
  const { store: other } = await enrolledPhone()
  const [mine] = await begin(store)
  const [one, two] = [...(await begin(other, 'belt_off')), ...(await begin(other, 'roller_off'))]
  if (!one || !two) throw new Error('nothing was written')
  const seen = { cursor: 9, checkpoint: 'text', size: 9, root: '' }
  const page = { standings: {}, kept: [], backups: { made: 0, outside: [] }, seen }
  // The later one comes first: what it names is missing, and is no head when it comes.
  await store.ledger.take({ ...page, pulled: [{ entry: two, index: 8, standing: 'good' as const }] })
  await store.ledger.take({ ...page, pulled: [{ entry: one, index: 7, standing: 'gap' as const }] })
  const [next] = await begin(store, 'pump_off')
  expect(new Set(next?.after)).toEqual(new Set([mine?.id, two.id]))
  const log = await store.log(JOB)
  expect(log.map(({ entry, index, standing, place }) => [entry.id, index, standing, place])).toEqual([
    [one.id, 7, 'gap', 'workshop'],
    [two.id, 8, 'good', 'workshop'],
    [mine?.id, null, 'good', 'phone'],
    [next?.id, null, 'good', 'phone'],
  ])
})

test('a log that is read again says what lies there, also where a line has changed', async () => {
  const { store, name } = await enrolledPhone()
  await begin(store)
  const [before] = await store.log(JOB)
  await begin(store, 'belt_off')
  const again = await store.log(JOB)
  expect(again[0]?.entry).toBe(before?.entry) // not parsed anew
  const changed = (again[1]?.entry.line ?? '').replace('belt_off', 'belt_on')
  const db = await new Promise<IDBDatabase>((resolve) => {
    const opening = indexedDB.open(name)
    opening.onsuccess = () => resolve(opening.result)
  })
  const entries = db.transaction('entries', 'readwrite').objectStore('entries')
  const row = await new Promise<object>((resolve) => {
    const reading = entries.get(again[1]?.entry.id ?? '')
    reading.onsuccess = () => resolve(reading.result as object)
  })
  entries.put({ ...row, line: changed })
  expect((await store.log(JOB)).map(({ entry }) => entry.body)).toEqual([
    { step: 'cover_off' },
    { step: 'belt_on' },
  ])
  db.close()
})

test('a screen hears of what was written at once, also while something else is counted', async () => {
  const { store } = await enrolledPhone()
  const counts = Reader.prototype.counts
  let end = () => undefined as void
  const ended = new Promise<void>((resolve) => (end = resolve))
  vi.spyOn(Reader.prototype, 'counts').mockImplementation(async function (this: Reader) {
    await ended // much is kept, and a page of the workshop's is being taken
    return counts.call(this)
  })
  const pulled = answering(store).receive({}, [])
  await vi.waitFor(() => expect(Reader.prototype.counts).toHaveBeenCalled())
  const before = store.changed.value
  await begin(store)
  await vi.waitFor(() => expect(store.changed.value).toBeGreaterThan(before))
  end()
  await pulled
  await store.settled()
  expect(store.places.value.phone).toBe(1)
})
