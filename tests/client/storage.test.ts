/** The phone's two places under a full, damaged, interrupted or emptied storage. */
import { openDB } from 'idb'
import { afterEach, describe, expect, test, vi } from 'vitest'
import { parseEntry, signEntry, verifyEntry } from '@client/ledger/entry'
import { generateKey } from '@client/ledger/keys'
import { openStore, type Device, type NotKept, type PhoneStore } from '@client/store'
import { BundleCache } from '@client/store/bundle-cache'
import type { Canary, Last } from '@client/store/canary'
import { crc32 } from '@client/store/crc32'
import { BALLAST_BYTES, Files } from '@client/store/files'
import { frameOf, readFrames } from '@client/store/frames'
import type { Keyring } from '@client/store/keyring'
import { Disk } from './opfs'
import { blobOf, deviceOf, freshName, JOB, keepPhoto, Locks, noteOf, PERSON, WORKSHOP } from './phone'

afterEach(() => vi.restoreAllMocks())

/** What outlives a browser: its files, its other places, and the clock. */
class Profile {
  readonly name = freshName()
  readonly disk = new Disk()
  last: Last | null = null
  key: Device | null = null
  now = new Date('2026-11-24T12:00:00Z')
  promised = false
  /** Some browsers answer only when their user does. */
  answers = true
  store: PhoneStore | null = null
  locks = new Locks()
  /** The journal is held by a page that is gone, cannot be held at all, or cannot even be read. */
  journal: 'free' | 'held' | 'readable' | 'unreadable' | 'rewritten' = 'free'

  readonly canary: Canary = {
    read: async () => this.last,
    write: async (last) => void (this.last = last),
  }
  readonly keyring: Keyring = {
    read: async () => this.key,
    keep: async (device) => void (this.key = device),
    drop: async () => void (this.key = null),
  }

  async start(): Promise<PhoneStore> {
    await this.store?.close()
    this.locks = new Locks()
    return (this.store = await this.beside())
  }

  /** A window beside the one that was started. */
  beside(): Promise<PhoneStore> {
    return openStore({
      name: this.name,
      locks: this.locks,
      disk: this.files(),
      canary: this.canary,
      keyring: this.keyring,
      thumbnail: async (picture) =>
        (await picture.text()).includes('unreadable') ? null : new TextEncoder().encode('small').buffer,
      persistence: {
        persist: () =>
          this.answers ? Promise.resolve((this.promised = true)) : new Promise(() => undefined),
        persisted: async () => this.promised,
      },
      now: () => this.now,
    })
  }

  files(): Files {
    const files =
      this.journal === 'held' ? new Files(async () => this.disk.root, 'phone') : this.disk.fresh('phone')
    const open = files.openJournal.bind(files)
    vi.spyOn(files, 'openJournal').mockImplementation(async () => {
      if (this.journal === 'unreadable') throw new DOMException('no', 'NotReadableError')
      const found = await open()
      // As it is once it was written anew: of photos it names those alone that wait.
      if (this.journal === 'rewritten')
        return { ...found, acts: found.acts.map((act) => act.replace(/^P .*\n?/gm, '')) }
      if (this.journal !== 'readable') return found
      await files.close()
      return { ...found, isHeld: false }
    })
    return files
  }

  /** The database, the files and the key. */
  async loseAll(): Promise<void> {
    await this.loseDatabase()
    this.disk.root.folders.clear()
    this.key = null
  }

  async loseDatabase(): Promise<void> {
    await this.store?.close()
    this.store = null
    await new Promise((resolve) => (indexedDB.deleteDatabase(this.name).onsuccess = resolve))
  }
}

async function enrolled(): Promise<{ profile: Profile; store: PhoneStore }> {
  const profile = new Profile()
  const store = await profile.start()
  await enrol(store)
  return { profile, store }
}

async function enrol(store: PhoneStore): Promise<void> {
  const key = await generateKey()
  const body = { key: key.key, invitation: 'a'.repeat(64), countersign: 'A'.repeat(86) }
  const entry = await signEntry(
    {
      workshop: WORKSHOP,
      job: null,
      person: PERSON,
      seq: 1,
      after: [],
      at: '2026-11-24T12:00:00.000Z',
      kind: 'device.enrolled',
      body,
    },
    key,
  )
  const device = deviceOf(key)
  await store.enrolment.joined({ invitation: body.invitation, device, entry }, 3, {
    cursor: 0,
    checkpoint: null,
    size: 0,
    root: '',
  })
}

/** The workshop has the entries, in one ledger from index 10 on, and its backup reaches to the second of them. */
async function backedUp(store: PhoneStore, lines: readonly string[]): Promise<void> {
  const seen = { cursor: 9, checkpoint: null, size: 99, root: '' }
  await store.ledger.receive({
    indices: Object.fromEntries(lines.map((id, i) => [id, 10 + i])),
    kept: [],
    refused: [],
    seen,
  })
  await store.ledger.take({ pulled: [], standings: {}, kept: [], backups: { made: 12, outside: [] }, seen })
}

const begin = async (store: PhoneStore, step: string) => {
  const [entry] = await store.write(
    JOB,
    async (writing) => void (await writing.entry('step.begun', { step })),
  )
  return entry?.id ?? ''
}

/** As by a screen that shows what was put back. */
const beginShown = async (store: PhoneStore, step: string) => {
  await store.log(JOB)
  return vi.waitFor(() => begin(store, step))
}

const shoot = (store: PhoneStore, text: string) => keepPhoto(store, new Blob([text], { type: 'image/jpeg' }))

const ids = async (store: PhoneStore) => (await store.log(JOB)).map(({ entry }) => entry.id)
const codes = (store: PhoneStore) => store.notices.value.map(({ code }) => code)
const codeOf = async (act: Promise<unknown>) =>
  ((await act.catch((error: unknown) => error)) as NotKept).trouble.code

/** The next changes of the database fail as they are begun; `asked` counts all. */
function failChanges(times: number, name = 'UnknownError') {
  const begin = IDBDatabase.prototype.transaction
  let count = 0
  const failing = vi.spyOn(IDBDatabase.prototype, 'transaction').mockImplementation(function (
    this: IDBDatabase,
    ...args
  ) {
    if (args[1] === 'readwrite' && ++count <= times) throw new DOMException('internal', name)
    return begin.apply(this, args)
  })
  return { failing, asked: () => count }
}

/** The disk is so full that the database does not even open. */
const failToOpen = () =>
  vi.spyOn(indexedDB, 'open').mockImplementation(() => {
    throw new DOMException('', 'QuotaExceededError')
  })

/** Runs what the store has put off to the next look. */
function whatComesLater(): () => void {
  const real = setTimeout
  let put = () => undefined as void
  vi.spyOn(globalThis, 'setTimeout').mockImplementation(((act: () => void, ms = 0) => {
    if (ms !== 30_000 && ms !== 3_000) return real(act, ms)
    put = act
    return 0
  }) as typeof setTimeout)
  return () => put()
}

describe('frames', () => {
  test('the sum is the published CRC-32', () => {
    expect(crc32(new TextEncoder().encode('123456789')).toString(16)).toBe('cbf43926')
  })

  test('a journal cut at any byte keeps every whole act and no part of another', () => {
    const acts = ['V {"a":1}', 'E one', 'P ä ü\nE two']
    const frames = acts.map(frameOf)
    const bytes = Uint8Array.from(frames.flatMap((frame) => [...frame]))
    const ends = frames.map((_, i) => frames.slice(0, i + 1).reduce((sum, { length }) => sum + length, 0))
    for (let cut = 0; cut <= bytes.length; cut++) {
      const whole = ends.filter((end) => end <= cut)
      expect(readFrames(bytes.subarray(0, cut))).toEqual({
        texts: acts.slice(0, whole.length),
        end: whole.at(-1) ?? 0,
        damaged: 0,
      })
    }
  })

  test('a flipped byte anywhere costs one act, and the others are found again', () => {
    const acts = ['E one', 'E two', 'E three']
    const bytes = Uint8Array.from(acts.map(frameOf).flatMap((frame) => [...frame]))
    const middle = frameOf('E one').length
    for (let at = middle; at < middle + frameOf('E two').length; at++) {
      const damaged = bytes.slice()
      damaged[at] = (damaged[at] ?? 0) ^ 0x55
      const found = readFrames(damaged)
      expect([found.texts, found.damaged]).toEqual([['E one', 'E three'], 1])
    }
  })
})

describe('the journal', () => {
  test('holds each act before it is claimed: the very line that IndexedDB holds', async () => {
    const { profile, store } = await enrolled()
    const id = await begin(store, 'cover_off')
    const line = (await store.log(JOB))[0]?.entry.line
    expect(readFrames(profile.disk.journal.bytes).texts.at(-1)).toBe(`E ${line}`)
    expect((await parseEntry(line ?? '')).id).toBe(id)
  })

  test('cut at any byte of its last act is cut back to the one before, and what follows is not swallowed', async () => {
    const disk = new Disk()
    await disk.files.openJournal()
    await disk.files.append('E the first')
    const before = disk.journal.bytes.length
    await disk.files.append('E the last')
    const whole = disk.journal.bytes
    for (let cut = before; cut < whole.length; cut++) {
      disk.journal.bytes = whole.slice(0, cut)
      expect(await disk.fresh('phone').openJournal()).toEqual({
        acts: ['E the first'],
        damaged: 0,
        bytes: before,
        isHeld: true,
      })
      await disk.files.append('E another')
      expect(await disk.fresh('phone').openJournal()).toMatchObject({
        acts: ['E the first', 'E another'],
        damaged: 0,
      })
    }
  })

  test('cut in its last act takes that act from the database again', async () => {
    const { profile, store } = await enrolled()
    await begin(store, 'cover_off')
    const before = profile.disk.journal.bytes.length
    await begin(store, 'belt_off')
    const all = await ids(store)
    const whole = profile.disk.journal.bytes
    for (const cut of [before, before + 1, before + 8, before + 100, whole.length - 1]) {
      profile.disk.journal.bytes = whole.slice(0, cut)
      expect(await ids(await profile.start())).toEqual(all)
    }
    const next = await begin(await profile.start(), 'roller_off')
    await profile.loseDatabase()
    expect(await ids(await profile.start())).toEqual([...all, next])
  })

  test('a damaged one is written anew from the database, and that is told', async () => {
    const { profile, store } = await enrolled()
    const first = await begin(store, 'cover_off')
    const second = await begin(store, 'belt_off')
    profile.disk.journal.bytes.fill(0x55, 40, 44)
    const again = await profile.start()
    expect(codes(again)).toEqual(['copy-mended'])
    await profile.loseDatabase()
    expect(await ids(await profile.start())).toEqual([first, second])
  })

  test('one that was thrown away is written anew, and that is told', async () => {
    const { profile, store } = await enrolled()
    const id = await begin(store, 'cover_off')
    profile.disk.root.folders.clear()
    expect(codes(await profile.start())).toEqual(['copy-mended'])
    await profile.loseDatabase()
    expect(await ids(await profile.start())).toEqual([id])
  })

  test('an act that IndexedDB would not take is taken back', async () => {
    const { profile, store } = await enrolled()
    await begin(store, 'cover_off')
    const before = profile.disk.journal.bytes.length
    vi.spyOn(IDBObjectStore.prototype, 'add').mockImplementation(() => {
      throw new DOMException('taken', 'ConstraintError')
    })
    expect(await codeOf(begin(store, 'belt_off'))).toBe('place-taken')
    expect(profile.disk.journal.bytes.length).toBe(before)
  })

  test('an act that cannot be taken back stops all writing until a look at both places', async () => {
    const { profile, store } = await enrolled()
    await begin(store, 'cover_off')
    vi.spyOn(IDBObjectStore.prototype, 'add').mockImplementation(() => {
      profile.disk.failing = 'NotReadableError'
      throw new DOMException('taken', 'ConstraintError')
    })
    expect(await codeOf(begin(store, 'belt_off'))).toBe('kept-midway')
    expect(await codeOf(begin(store, 'belt_off'))).toBe('kept-midway')
    vi.restoreAllMocks()
    profile.disk.failing = null
    const again = await profile.start()
    expect((await again.log(JOB)).map(({ entry }) => entry.body)).toEqual([
      { step: 'cover_off' },
      { step: 'belt_off' },
    ])
    await beginShown(again, 'roller_off')
    expect((await again.log(JOB)).map(({ entry }) => entry.seq)).toEqual([2, 3, 4])
  })

  test('leaves out at a start what a backup covers, once it has grown long', async () => {
    const { profile, store } = await enrolled()
    const lines: string[] = []
    for (let i = 0; i < 3; i++) {
      const [entry] = await store.write(
        JOB,
        async (writing) =>
          void (await writing.entry('note.added', { text: await writing.secret('words', 'x'.repeat(1900)) })),
      )
      lines.push(entry?.id ?? '')
    }
    await backedUp(store, lines)
    const filler = frameOf(`V ${'y'.repeat(5 * 2 ** 20)}`)
    profile.disk.journal.bytes = Uint8Array.from([...filler, ...profile.disk.journal.bytes])
    const again = await profile.start()
    expect((await ids(again)).length).toBe(3)
    const left = readFrames(profile.disk.journal.bytes).texts.join('\n')
    expect(left).toContain(JOB)
    expect(left.split('\n').filter((line) => line.startsWith('E ')).length).toBe(1) // only the third is not covered
  })
})

describe('a lost database', () => {
  test('is healed from the journal, key and number and photo and words, and the work goes on', async () => {
    const { profile, store } = await enrolled()
    const first = await begin(store, 'cover_off')
    const blob = await blobOf(shoot(store, 'a picture'))
    const [note] = await store.write(
      JOB,
      async (writing) =>
        void (await writing.entry('note.added', { text: await writing.secret('words', 'oil at the seal') })),
    )
    const last = await begin(store, 'belt_off')
    await profile.loseDatabase()

    const again = await profile.start()
    expect(codes(again)).toEqual(['put-back'])
    const all = await ids(again)
    expect([all[0], all[2], all[3]]).toEqual([first, note?.id, last])
    expect(await (await again.photo(blob))?.text()).toBe('a picture')
    expect(await again.secretValue((note!.body as { text: { blob: string } }).text)).toBe('oil at the seal')
    expect(again.places.value).toMatchObject({ phone: 5, photosWaiting: 1 }) // the enrolment, too: its receipt was lost
    await beginShown(again, 'roller_off')
    const log = await again.log(JOB)
    expect(log.map(({ entry }) => entry.seq)).toEqual([2, 3, 4, 5, 6])
    expect(log.at(-1)?.entry.after).toEqual([last])
    const key = again.device.value?.key ?? ''
    expect(await Promise.all(log.map(({ entry }) => verifyEntry(entry, key)))).toEqual(log.map(() => true))
  })

  test('is healed though the storage refuses once, and the phone knows whose it is', async () => {
    const { profile, store } = await enrolled()
    const id = await begin(store, 'cover_off')
    await profile.loseDatabase()
    const add = IDBObjectStore.prototype.add
    let failures = 1
    vi.spyOn(IDBObjectStore.prototype, 'add').mockImplementation(function (this: IDBObjectStore, ...args) {
      if (failures-- > 0) throw new DOMException('full', 'QuotaExceededError')
      return add.apply(this, args)
    })
    const again = await profile.start()
    expect([await ids(again), again.device.value?.workshopName, again.trouble.value]).toEqual([
      [id],
      'Cogline Garage',
      null,
    ])
  })

  test('without its key is told: what was written waits, and a new invitation sends it', async () => {
    const { profile, store } = await enrolled()
    const id = await begin(store, 'cover_off')
    await begin(store, 'belt_off')
    await profile.loseDatabase()
    profile.key = null
    const again = await profile.start()
    expect(codes(again)).toEqual(['put-back', 'key-lost'])
    expect(again.device.value).toBeNull()
    expect((await again.ledger.waiting(true)).map((row) => row.id)).toContain(id)
    expect(again.notices.value[1]?.message).toContain('Cogline Garage')
  })

  test('takes nothing from the journal that was not signed by the key', async () => {
    const { profile, store } = await enrolled()
    await begin(store, 'cover_off')
    const line = (await store.log(JOB))[0]?.entry.line ?? ''
    const forged = line.replace('cover_off', 'covers_off')
    const frame = frameOf(`E ${forged}`)
    profile.disk.journal.bytes = Uint8Array.from([...profile.disk.journal.bytes, ...frame])
    const again = await profile.start()
    expect(await ids(again)).toHaveLength(1)
  })

  test('an act that was cut off between the two places is finished without a word', async () => {
    const { profile, store } = await enrolled()
    await begin(store, 'cover_off')
    const whole = profile.disk.journal.bytes
    await vi.waitFor(() => expect(profile.last?.seq).toBe(2))
    const { last } = profile
    await begin(store, 'belt_off')
    const longer = profile.disk.journal.bytes
    // The journal of the later act beside the database of the earlier one.
    profile.disk.journal.bytes = whole
    await profile.loseDatabase()
    await vi.waitFor(() => expect(profile.last?.seq).toBe(3))
    profile.last = last // it is told after an act, and this one was cut off
    await (await profile.start()).dismiss('put-back')
    profile.disk.journal.bytes = longer
    const again = await profile.start()
    expect([await ids(again).then((all) => all.length), codes(again)]).toEqual([2, []])
  })

  test('when both places lost the end, the canary tells, and the numbers are not given twice', async () => {
    const { profile, store } = await enrolled()
    await begin(store, 'cover_off')
    const early = profile.disk.journal.bytes
    await begin(store, 'belt_off')
    await begin(store, 'roller_off')
    await vi.waitFor(() => expect(profile.last?.seq).toBe(4))
    await profile.loseDatabase()
    profile.disk.journal.bytes = early
    const again = await profile.start()
    expect(codes(again)).toContain('entries-lost')
    expect(again.notices.value.find(({ code }) => code === 'entries-lost')?.message).toContain(
      '2 entries out of both its places: numbers 3 to 4',
    )
    await beginShown(again, 'roller_off')
    expect((await again.log(JOB)).at(-1)?.entry.seq).toBe(5)
    expect(codes(await profile.start())).toContain('entries-lost') // until somebody has read it
    await profile.store?.dismiss('entries-lost')
    expect(codes(await profile.start())).not.toContain('entries-lost')
  })

  test('an entry in the middle that neither place has is told once, and nothing is called whole', async () => {
    const { profile, store } = await enrolled()
    await begin(store, 'cover_off')
    const at = profile.disk.journal.bytes.length + 30
    await begin(store, 'belt_off')
    await begin(store, 'roller_off')
    await profile.loseDatabase()
    profile.disk.journal.bytes.fill(0x55, at, at + 4)
    const again = await profile.start()
    expect(new Set(codes(again))).toEqual(new Set(['put-back', 'copy-mended', 'entries-lost']))
    expect(again.notices.value.find(({ code }) => code === 'entries-lost')?.message).toBe(
      'This phone has lost 1 entry out of both its places: number 3 of what it wrote.',
    )
    expect(again.notices.value.map(({ message }) => message).join()).not.toContain('nothing is missing')
    for (const code of codes(again)) await again.dismiss(code)
    expect(codes(await profile.start())).toEqual([])
    await profile.loseDatabase()
    expect(codes(await profile.start())).toEqual(['put-back']) // and of the one that is known to be gone no word
  })

  test('photos of an entry that comes back from the workshop are sent again', async () => {
    const { profile, store } = await enrolled()
    const blob = await blobOf(shoot(store, 'a picture'))
    const entry = (await store.log(JOB))[0]!.entry
    await profile.loseDatabase()
    profile.disk.journal.bytes = profile.disk.journal.bytes.slice(0, -1)
    profile.last = { ...profile.last!, seq: 1 } // it had not been told of the photo: nothing is missed
    const again = await profile.start()
    expect(await again.photos.waiting(false)).toEqual([])
    const seen = { cursor: 9, checkpoint: null, size: 99, root: '' }
    await again.ledger.take({
      pulled: [{ entry, index: 5, standing: 'good' }],
      standings: {},
      kept: [],
      backups: { made: 0, outside: [] },
      seen,
    })
    expect(await again.photos.waiting(false)).toEqual([{ blob, size: 9, type: 'image/jpeg', waiting: 1 }])
  })

  test('what a backup has and the journal left out is no loss', async () => {
    const { profile, store } = await enrolled()
    const lines = [await begin(store, 'cover_off'), await begin(store, 'belt_off')]
    await backedUp(store, lines)
    profile.disk.journal.bytes.fill(0x55, 40, 44)
    const last = await begin(await profile.start(), 'roller_off')
    await profile.loseDatabase()
    const again = await profile.start()
    expect([await ids(again), codes(again)]).toEqual([[last], ['put-back']])
  })

  test('one entry that was put back is told as one', async () => {
    const { profile } = await enrolled()
    await profile.loseDatabase()
    expect((await profile.start()).notices.value[0]?.message).toBe(
      'The storage of this phone had lost 1 entry. The second copy on it had it: it was put back, and nothing is missing.',
    )
  })

  test('while the journal cannot be read nothing is called lost and nothing new is kept, and it is healed when it can', async () => {
    const { profile, store } = await enrolled()
    const id = await begin(store, 'cover_off')
    await profile.loseDatabase()
    profile.journal = 'unreadable'
    await profile.start()
    const later = whatComesLater()
    const again = await profile.start() // a new start knows no more
    expect([codes(again), again.device.value?.workshopName]).toEqual([['copy-unread'], 'Cogline Garage'])
    expect(await codeOf(begin(again, 'belt_off'))).toBe('copy-unread')
    profile.journal = 'free'
    later()
    await vi.waitFor(() => expect(codes(again)).toEqual(['put-back']))
    expect(await ids(again)).toEqual([id])
  })

  test('one that holds an act cut off, and cannot be written to, gives no number twice', async () => {
    const { profile, store } = await enrolled()
    await begin(store, 'cover_off')
    vi.spyOn(IDBObjectStore.prototype, 'add').mockImplementation(() => {
      profile.disk.failing = 'NotReadableError' // so it cannot be taken back: as if all went dark between the two places
      throw new DOMException('taken', 'ConstraintError')
    })
    await codeOf(begin(store, 'belt_off'))
    vi.restoreAllMocks()
    profile.disk.failing = null
    profile.journal = 'unreadable'
    expect(await codeOf(begin(await profile.start(), 'roller_off'))).toBe('copy-unread')
    profile.journal = 'readable'
    const again = await profile.start()
    await beginShown(again, 'roller_off')
    expect([codes(again), (await again.log(JOB)).map(({ entry }) => entry.seq)]).toEqual([
      ['one-copy'],
      [2, 3, 4],
    ])
  })

  test('one that a page which is gone still holds is read, and the work goes on in the next', async () => {
    const { profile, store } = await enrolled()
    const first = await begin(store, 'cover_off')
    await profile.store?.close()
    profile.store = null
    await profile.disk.files.openJournal() // and that page never lets go
    profile.journal = 'held'
    const again = await profile.start()
    const second = await begin(again, 'belt_off')
    expect([codes(again), await ids(again)]).toEqual([[], [first, second]])
    profile.journal = 'free'
    await profile.loseDatabase()
    const healed = await profile.start()
    expect([await ids(healed), codes(healed)]).toEqual([[first, second], ['put-back']])
    expect(
      readFrames(profile.disk.journal.bytes)
        .texts.join('\n')
        .split('\n')
        .filter((line) => line.startsWith('E ')),
    ).toHaveLength(3)
  })

  test('when all is gone but the canary, the phone says whose it was and what was not sent', async () => {
    const { profile, store } = await enrolled()
    await begin(store, 'cover_off')
    await vi.waitFor(() => expect(profile.last?.waiting).toBe(1))
    await profile.loseAll()
    const again = await profile.start()
    expect(codes(again)).toEqual(['phone-wiped'])
    expect(again.notices.value[0]).toMatchObject({
      message: expect.stringContaining('Cogline Garage'),
      hint: expect.stringContaining('1 entry had not been sent'),
    })
    await enrol(again)
    await begin(again, 'cover_off')
    expect(codes(await profile.start())).toEqual(['phone-wiped'])
  })
})

test('numbers that were lost are not given twice, though the count goes as well after they were told', async () => {
  const { profile, store } = await enrolled()
  for (const step of ['cover_off', 'belt_off']) await begin(store, step)
  await profile.loseDatabase()
  profile.disk.root.folders.clear()
  expect(codes(await profile.start())).toEqual(['entries-lost']) // the key is on the ring
  await profile.store?.dismiss('entries-lost')
  await profile.start() // that it was told, and read, is in the journal now
  await profile.loseDatabase()
  const again = await profile.start()
  expect(codes(again)).not.toContain('entries-lost')
  await beginShown(again, 'roller_off')
  expect((await again.log(JOB)).map(({ entry }) => entry.seq)).toEqual([4])
})

describe('a storage so full that it does not even open', () => {
  test('says nothing of what it holds, takes nothing, and is looked at by itself when there is room', async () => {
    const { profile, store } = await enrolled()
    await begin(store, 'cover_off')
    await profile.loseAll()
    const later = whatComesLater()
    const opening = failToOpen()
    const again = await profile.start()
    expect([again.trouble.value?.code, codes(again), again.device.value]).toEqual(['phone-full', [], null])
    expect(again.trouble.value?.message).not.toContain('Everything before')
    await expect(again.settled()).rejects.toThrow('so full')
    opening.mockRestore()
    later()
    // What is found is told before the trouble goes.
    await vi.waitFor(() => expect([again.trouble.value, codes(again)]).toEqual([null, ['phone-wiped']]))
  })

  test('is not called empty in a second window, which cannot know why it sees nothing', async () => {
    const { profile, store } = await enrolled()
    await begin(store, 'cover_off')
    await profile.loseDatabase()
    const later = whatComesLater()
    const [failing, opening] = [failChanges(99, 'QuotaExceededError').failing, failToOpen()]
    const first = await profile.start()
    opening.mockRestore() // there is one, and nothing is in it
    const second = await profile.beside()
    expect([first.trouble.value?.code, second.trouble.value?.code]).toEqual(['phone-full', 'second-tab'])
    expect([second.device.value, second.trouble.value?.message]).toEqual([
      null,
      'Two Turns is open twice, and only the first can tell what this phone keeps.',
    ])
    failing.mockRestore()
    later()
    await vi.waitFor(() => expect(second.device.value).not.toBeNull())
    expect([second.trouble.value, await ids(second)]).toEqual([null, await ids(first)])
    await second.close()
  })

  test('tells a loss again at the next start, where the storage failed and could not be mended since', async () => {
    const { profile, store } = await enrolled()
    await begin(store, 'cover_off')
    const before = profile.last?.device
    await profile.loseAll()
    const { failing } = failChanges(1, 'QuotaExceededError')
    profile.disk.room = 2_000_000
    const again = await profile.start()
    failing.mockRestore()
    await again.settled()
    expect(codes(again)).toEqual(['phone-wiped', 'storage-failing'])
    await enrol(again)
    await begin(again, 'belt_off')
    expect(profile.last?.device).toBe(before)
    await profile.loseDatabase() // the torn log, and with it what was told
    expect(codes(await profile.start())).toContain('entries-lost')
  })

  test('tells a loss again whose notice went with the torn log, though the journal knows of it, until somebody has read it', async () => {
    const { profile, store } = await enrolled()
    await begin(store, 'cover_off')
    await profile.loseDatabase()
    profile.disk.root.folders.clear() // the key is on the ring
    const { failing } = failChanges(1, 'QuotaExceededError')
    profile.disk.room = 2_000_000
    const again = await profile.start()
    failing.mockRestore()
    await again.settled()
    expect(codes(again)).toEqual(expect.arrayContaining(['entries-lost', 'storage-failing']))
    await profile.loseDatabase() // killed: the torn log goes, and with it what was told
    const told = await profile.start()
    expect(told.notices.value.find(({ code }) => code === 'entries-lost')?.message).toContain(
      'numbers 1 to 2',
    )
    await told.dismiss('entries-lost')
    profile.disk.room = Infinity
    await profile.start() // that it was read is in the journal from here on
    await profile.loseDatabase()
    expect(codes(await profile.start())).not.toContain('entries-lost')
  })

  test('is looked at before the phone comes in anew, so that what was lost is told', async () => {
    const { profile, store } = await enrolled()
    await begin(store, 'cover_off')
    await profile.loseAll()
    const opening = failToOpen()
    const again = await profile.start()
    opening.mockRestore()
    await again.settled()
    expect(codes(again)).toEqual(['phone-wiped'])
  })
})

describe('a phone enrolled anew', () => {
  const waiting = async (store: PhoneStore) =>
    (await store.ledger.waiting(false)).filter(({ job }) => job === JOB).map(({ id }) => id)

  test('sends what it wrote before in front of what it writes now, whatever their numbers', async () => {
    const { profile, store } = await enrolled()
    const written: string[] = []
    for (const step of ['cover_off', 'belt_off', 'roller_off']) written.push(await begin(store, step))
    await enrol(store)
    for (const step of ['roller_on', 'belt_on']) written.push(await begin(store, step))
    expect(await ids(store)).toEqual(written)
    expect(await waiting(store)).toEqual(written)

    await profile.loseDatabase()
    const healed = await profile.start()
    expect([await ids(healed), await waiting(healed)]).toEqual([written, written])

    const journal = profile.disk.journal
    journal.bytes[journal.bytes.length >> 1] = 0 // so that it is written anew
    await profile.start()
    await profile.loseDatabase()
    const again = await profile.start()
    expect([await ids(again), await waiting(again)]).toEqual([written, written])
  })
})

describe('a full phone', () => {
  test('a photo fails first, cleanly; steps go in from the room of the ballast', async () => {
    const { profile, store } = await enrolled()
    profile.disk.room = 5000
    expect(await codeOf(shoot(store, 'p'.repeat(6000)))).toBe('photos-wait')
    expect([profile.disk.photos.size, store.places.value.photosWaiting, await ids(store)]).toEqual([0, 0, []])
    expect(codes(store)).toEqual(['photos-wait'])
    profile.disk.room = BALLAST_BYTES - 1000 // another app has taken some of it already
    const step = await begin(store, 'cover_off')
    expect(await codeOf(shoot(store, 'small'))).toBe('photos-wait')
    expect(await ids(store)).toEqual([step])
    expect(codes(await profile.start())).toEqual(['photos-wait'])

    profile.disk.room = Infinity
    const blob = await blobOf(shoot(profile.store as PhoneStore, 'p'.repeat(6000)))
    expect([await profile.store?.photoPlace(blob), codes(profile.store as PhoneStore)]).toEqual(['phone', []])
  })

  test('when room is back that is seen without a new photo', async () => {
    const { profile, store } = await enrolled()
    profile.disk.room = 0
    const later = whatComesLater()
    expect(await codeOf(shoot(store, 'p'.repeat(6000)))).toBe('photos-wait')
    profile.disk.room = Infinity
    later()
    await vi.waitFor(() => expect(codes(store)).toEqual([]))
  })

  test('a journal that can take no more is cut back, and the act goes in when the ballast is gone', async () => {
    const { profile, store } = await enrolled()
    await begin(store, 'cover_off')
    for (const room of [0, 1, 7, 8, 9, 300]) {
      profile.disk.room = room
      await begin(store, `step_${room}`)
      expect(readFrames(profile.disk.journal.bytes).end).toBe(profile.disk.journal.bytes.length)
      profile.disk.room = Infinity
      await shoot(store, `room is back ${room}`)
    }
    await profile.loseDatabase()
    expect(await ids(await profile.start())).toHaveLength(13)
  })

  test('with no room at all nothing of the act is kept, all before it is', async () => {
    const { profile, store } = await enrolled()
    const before = await begin(store, 'cover_off')
    await profile.disk.files.dropBallast()
    profile.disk.room = 100
    expect(await codeOf(begin(store, 'belt_off'))).toBe('phone-full')
    expect(await ids(store)).toEqual([before])
    profile.disk.room = Infinity
    const after = await begin(store, 'belt_off')
    await profile.loseDatabase()
    expect(await ids(await profile.start())).toEqual([before, after])
  })

  test('after IndexedDB failed it is compared and written anew before the next act, and that is told', async () => {
    const { profile, store } = await enrolled()
    await begin(store, 'cover_off')
    const changes = failChanges(2) // the first try, and the one with a new handle
    const step = await begin(store, 'belt_off')
    expect(await ids(store)).toContain(step)
    expect(codes(store)).toEqual(['storage-mended'])
    expect(changes.asked()).toBeGreaterThan(12) // the log was rolled over
    expect(
      readFrames(profile.disk.journal.bytes).texts.filter((text) => text.includes('belt_off')),
    ).toHaveLength(1)
  })

  test('that failed where nobody was acting is mended at once, too', async () => {
    const { store } = await enrolled()
    await begin(store, 'cover_off')
    failChanges(2)
    await expect(new BundleCache(store.inside).keepTag('"7"')).rejects.toThrow('internal')
    await vi.waitFor(() => expect(codes(store)).toEqual(['storage-mended']))
  })

  test('that failed together with the files is told at once: its one copy is not sure', async () => {
    const { profile, store } = await enrolled()
    await begin(store, 'cover_off')
    failChanges(2)
    profile.disk.failing = 'NotReadableError'
    await expect(new BundleCache(store.inside).keepTag('"7"')).rejects.toThrow('internal')
    await vi.waitFor(() => expect(codes(store)).toEqual(['storage-failing']))
  })

  test('while it cannot be mended, that is told, and the journal alone is enough', async () => {
    const { profile, store } = await enrolled()
    const put = IDBObjectStore.prototype.put
    vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementation(function (this: IDBObjectStore, value, key) {
      if (typeof key === 'string' && key.startsWith('churn'))
        throw new DOMException('internal', 'UnknownError')
      return put.apply(this, key === undefined ? [value] : [value, key])
    })
    failChanges(2)
    const step = await begin(store, 'cover_off')
    expect(codes(store)).toEqual(['storage-failing'])
    vi.restoreAllMocks()
    await profile.loseDatabase()
    expect(await ids(await profile.start())).toEqual([step])
  })
})

describe('the second copy', () => {
  test('that cannot be kept is told, and the work goes on', async () => {
    const { profile } = await enrolled()
    profile.journal = 'readable'
    const again = await profile.start()
    expect(codes(again)).toEqual(['one-copy'])
    expect(await begin(again, 'cover_off')).not.toBe('')
  })

  test('that never could be kept stops nothing', async () => {
    const profile = new Profile()
    profile.journal = 'unreadable'
    await enrol(await profile.start())
    await begin(profile.store as PhoneStore, 'cover_off')
    const again = await profile.start()
    await begin(again, 'belt_off')
    expect([codes(again), (await again.log(JOB)).length]).toEqual([['one-copy'], 2])
  })

  test('takes over photos that an older build kept in IndexedDB', async () => {
    const profile = new Profile()
    const old = await openDB(profile.name, 1, {
      upgrade(db) {
        const entries = db.createObjectStore('entries', { keyPath: 'id' })
        for (const [name, path] of [
          ['job', 'job'],
          ['kind', 'kind'],
          ['index', 'index'],
          ['waiting', 'waiting'],
          ['own', ['mine', 'index']],
          ['refused', 'refused.code'],
        ] as const)
          entries.createIndex(name, path as string)
        entries.createIndex('slot', 'slot', { unique: true })
        db.createObjectStore('views', { keyPath: 'job' }).createIndex('openHere', 'openHere')
        db.createObjectStore('values', { keyPath: 'blob' }).createIndex('waiting', 'waiting')
        db.createObjectStore('photos', { keyPath: 'blob' }).createIndex('waiting', 'waiting')
        for (const name of ['bytes', 'bundles', 'assets', 'things']) db.createObjectStore(name)
      },
    })
    const bytes = new TextEncoder().encode('an old picture')
    const blob = Buffer.from(await crypto.subtle.digest('SHA-256', bytes)).toString('hex')
    await old.put('photos', { blob, size: bytes.length, type: 'image/jpeg', waiting: 1 })
    await old.put('bytes', bytes.buffer, blob)
    old.close()
    const store = await profile.start()
    expect([...profile.disk.photos.keys()]).toEqual([blob])
    expect(await (await store.photo(blob))?.text()).toBe('an old picture')
    const db = await openDB(profile.name)
    expect(await db.getAllKeys('bytes')).toEqual([])
    db.close()
  })

  test('a photo that the workshop had, and that nothing but its file remembers, is offered again', async () => {
    const { profile, store } = await enrolled()
    const blob = await blobOf(shoot(store, 'a picture'))
    await store.ledger.receive({
      indices: {},
      kept: [{ blob, index: 5 }],
      refused: [],
      seen: { cursor: 9, checkpoint: null, size: 99, root: '' },
    })
    expect(await store.photos.waiting(false)).toEqual([])
    await profile.loseDatabase()
    profile.journal = 'rewritten'
    const again = await profile.start()
    expect(codes(again)).toEqual(['put-back'])
    expect((await again.photos.waiting(false)).map((row) => row.blob)).toEqual([blob])
  })

  test('a photo whose entry is lost is offered by its bytes alone, for the workshop may have the entry', async () => {
    const { profile, store } = await enrolled()
    const blob = await blobOf(shoot(store, '\xff\xd8\xff a picture'))
    const spoilt = await blobOf(shoot(store, 'another'))
    await profile.loseDatabase()
    const folder = profile.disk.root.folders.get('phone')!
    for (const name of folder.files.keys()) if (name.startsWith('journal-')) folder.files.delete(name)
    profile.disk.photos.get(spoilt)!.bytes[0] = 0
    const again = await profile.start()
    expect(codes(again)).toEqual(['entries-lost'])
    const size = profile.disk.photos.get(blob)!.bytes.length
    const offered = { blob, size, type: 'application/octet-stream', waiting: 1 }
    expect(await again.photos.waiting(false)).toEqual([offered])
  })

  test('a photo of an act that was not kept is offered to nobody', async () => {
    const { profile, store } = await enrolled()
    failChanges(99, 'QuotaExceededError')
    await expect(shoot(store, 'a picture')).rejects.toThrow('full')
    vi.restoreAllMocks()
    const again = await profile.start()
    expect([profile.disk.photos.size, await again.photos.waiting(false)]).toEqual([1, []])
  })

  test('a waiting photo whose file is gone is told once', async () => {
    const { profile, store } = await enrolled()
    await shoot(store, 'a picture')
    for (const name of profile.disk.photos.keys())
      await profile.disk.root.folders.get('phone')?.folders.get('photos')?.removeEntry(name)
    const again = await profile.start()
    expect([codes(again), await again.photos.waiting(false)]).toEqual([['photos-lost'], []])
    await again.dismiss('photos-lost')
    expect(codes(await profile.start())).toEqual([])
  })
})

describe('photos that are safe elsewhere', () => {
  const seen = { cursor: 9, checkpoint: null, size: 99, root: '' }
  const backup = (store: PhoneStore, made: number) =>
    store.ledger.take({ pulled: [], standings: {}, kept: [], backups: { made, outside: [] }, seen })
  const receive = (store: PhoneStore, blob: string, index: number) =>
    store.ledger.receive({ indices: {}, kept: [{ blob, index }], refused: [], seen })

  test('go thirty days after they were received and backed up, and leave a thumbnail', async () => {
    const { profile, store } = await enrolled()
    const [safe, waiting, unsaved] = await Promise.all(
      ['safe', 'waiting', 'received only'].map((text) => blobOf(shoot(store, text))),
    )
    await receive(store, safe ?? '', 5)
    await receive(store, unsaved ?? '', 50)
    await backup(store, 20)
    profile.now = new Date('2026-12-23T12:00:00Z')
    expect(await (await profile.start()).photo(safe ?? '')).not.toBeNull()
    profile.now = new Date('2026-12-25T12:00:00Z')
    const later = await profile.start()
    expect(new Set(profile.disk.photos.keys())).toEqual(new Set([waiting, unsaved]))
    expect([
      await later.photo(safe ?? ''),
      await (await later.thumb(safe ?? ''))?.text(),
      await later.thumb(waiting ?? ''),
    ]).toEqual([null, 'small', null])
    expect(await later.photoPlace(safe ?? '')).toBe('backup')
  })

  test('one that cannot be drawn small stays', async () => {
    const { profile, store } = await enrolled()
    const blob = await blobOf(shoot(store, 'unreadable here'))
    await receive(store, blob, 5)
    await backup(store, 20)
    profile.now = new Date('2027-01-25T12:00:00Z')
    await profile.start()
    expect([...profile.disk.photos.keys()]).toEqual([blob])
  })

  test('what an instrument heard goes without leaving a thumbnail', async () => {
    const { profile, store } = await enrolled()
    let blob = ''
    await store.write(JOB, async (writing) => {
      const clip = new Blob(['unreadable here'], { type: 'audio/wav' })
      blob = await writing.photo(clip)
      await writing.entry('reading.taken', noteOf([{ blob, size: clip.size, type: 'audio/wav' }]))
    })
    await receive(store, blob, 5)
    await backup(store, 20)
    profile.now = new Date('2027-01-25T12:00:00Z')
    const later = await profile.start()
    expect([...profile.disk.photos.keys()]).toEqual([])
    expect([await later.photo(blob), await later.thumb(blob), await later.photoPlace(blob)]).toEqual([
      null,
      null,
      'backup',
    ])
  })

  test('go at once, oldest first and no more than needed, when a new photo needs the room', async () => {
    const { profile, store } = await enrolled()
    const size = 3 * 2 ** 20
    const [first, second] = [
      await blobOf(shoot(store, '1'.repeat(size))),
      await blobOf(shoot(store, '2'.repeat(size))),
    ]
    await receive(store, second, 6)
    await receive(store, first, 5)
    await backup(store, 20)
    profile.disk.room = 0
    expect(await codeOf(shoot(store, '3'.repeat(1000)))).toBe('photos-wait')
    profile.disk.room = 6 * 2 ** 20 // not enough for the ballast without the first photo
    const third = await blobOf(shoot(store, '3'.repeat(1000)))
    expect(new Set(profile.disk.photos.keys())).toEqual(new Set([second, third]))
  })
})

describe('versions and windows', () => {
  test('an older app on newer data says so, and still writes everything to a file', async () => {
    const { profile, store } = await enrolled()
    const id = await begin(store, 'cover_off')
    await store.close()
    profile.store = null
    const newer = await openDB(profile.name, 3, { upgrade: (db) => void db.createObjectStore('hereafter') })
    newer.close()
    const old = await profile.start()
    expect(old.trouble.value?.code).toBe('older-app')
    const text = await (await old.exportAll()).text()
    expect(text).toContain('cover_off')
    expect(id).not.toBe('')
  })

  test('all that can be read goes to a file where the disk of the photos answers no more', async () => {
    const { store } = await enrolled()
    await shoot(store, 'a photo')
    await begin(store, 'cover_off')
    vi.spyOn(Files.prototype, 'photo').mockRejectedValue(new DOMException('no answer', 'InvalidStateError'))
    const text = await (await store.exportAll()).text()
    expect(text).toContain('cover_off')
  })

  test('an older window lets go of the storage, and says so', async () => {
    const { profile, store } = await enrolled()
    const newer = await openDB(profile.name, 3)
    expect(store.trouble.value?.code).toBe('newer-window')
    newer.close()
  })

  test('an older window that does not let go is named, and the storage is taken up when it closes', async () => {
    const profile = new Profile()
    const stubborn = await openDB(profile.name, 1, { upgrade: () => undefined })
    const store = await profile.start()
    expect([store.trouble.value?.code, store.writer.value]).toEqual(['upgrade-blocked', false])
    stubborn.close()
    await vi.waitFor(() => expect(store.trouble.value?.code).not.toBe('upgrade-blocked'))
  })

  test('a phone joins and works though its browser never answers whether it will keep what is here', async () => {
    const profile = new Profile()
    profile.answers = false
    const store = await profile.start()
    await enrol(store)
    await begin(store, 'cover_off')
    expect([store.persisted.value, store.places.value.phone]).toEqual([false, 1])
  })

  test('the browser is asked to keep what is here when a phone is enrolled and when a job is opened', async () => {
    const { profile, store } = await enrolled()
    expect(store.persisted.value).toBe(true)
    profile.promised = false
    const again = await profile.start()
    expect(again.persisted.value).toBe(false)
    await again.write(JOB, async (writing) => {
      const [vin, plate] = [
        await writing.secret('vin', 'W0L0XCF0814000001'),
        await writing.secret('plate', 'TT 27'),
      ]
      await writing.entry('job.opened', {
        bundle: 'b'.repeat(64),
        vin,
        plate,
        odometer_km: 91000,
        engine_code: 'QX19',
        bay: '3',
      })
    })
    await vi.waitFor(() => expect(again.persisted.value).toBe(true))
  })
})
