/** What a phone lets go of: what was erased, and all it received once it is withdrawn or signed out. */
import { openDB } from 'idb'
import { expect, test, vi } from 'vitest'
import { blobId } from '@client/ledger/private'
import { openStore, type PhoneStore } from '@client/store'
import { Files } from '@client/store/files'
import { readWaiting } from '@client/store/queue'
import { PhoneSync } from '@client/sync'
import { readInvitation } from '@client/sync/invitation'
import { Disk } from './opfs'
import { freshName, JOB, keepPhoto, Locks } from './phone'
import { FakeWorkshop, refusal } from './workshop'

const NOW = new Date('2026-11-24T12:00:00.000Z')
const WHY = { reason: 'the customer asked', basis: 'GDPR 17' }

interface Phone {
  name: string
  store: PhoneStore
  sync: PhoneSync
  workshop: FakeWorkshop
  disk: Disk
  restart: () => Promise<PhoneStore>
}

async function joined(role: 'mechanic' | 'owner' = 'mechanic'): Promise<Phone> {
  const workshop = await FakeWorkshop.open()
  const [name, disk] = [freshName(), new Disk()]
  const open = () =>
    openStore({
      name,
      locks: new Locks(),
      disk: disk.fresh('phone'),
      now: () => NOW,
      thumbnail: async () => new ArrayBuffer(1),
    })
  const phone = { name, workshop, disk, store: await open() } as Phone
  phone.sync = syncOf(phone)
  phone.restart = async () => {
    await phone.store.close()
    phone.store = await open()
    phone.sync = syncOf(phone)
    return phone.store
  }
  await enrol(phone, await workshop.invite(role))
  return phone
}

const syncOf = ({ store, workshop }: Phone) =>
  new PhoneSync(store, { fetch: workshop.fetch, now: () => NOW, chance: () => 0.5 })

async function enrol({ sync }: Phone, link: string): Promise<void> {
  const invitation = readInvitation(link)
  if (!invitation.ok) throw new Error(invitation.trouble.message)
  expect(await sync.enrol(invitation.value)).toEqual({ ok: true, value: null })
  await sync.now()
}

/** Write words; returns the blob. */
async function note(store: PhoneStore, words: string): Promise<string> {
  let blob = ''
  await store.write(JOB, async (w) => {
    const text = await w.secret('words', words)
    blob = text.blob
    await w.entry('note.added', { text })
  })
  return blob
}

async function shoot(store: PhoneStore): Promise<string> {
  const picture = new Blob(['a photo of the plate'], { type: 'image/jpeg' })
  await keepPhoto(store, picture)
  return blobId(new Uint8Array(await picture.arrayBuffer()))
}

/** Read only: the phone goes on holding it. */
const journal = async ({ disk }: Phone) =>
  (await new Files(async () => disk.root, 'phone').readJournal()).acts.join('\n')
const codes = (store: PhoneStore) => store.notices.value.map(({ code }) => code)
const valuesHere = async ({ name }: Phone): Promise<unknown[]> => {
  const db = await openDB(name)
  const found = await db.getAllKeys('values')
  db.close()
  return found
}

/** What is awaited by some until it is let go of. */
function gate() {
  let open = () => undefined as void
  const passed = new Promise<void>((resolve) => (open = resolve))
  return { passed, open }
}

const own = (phone: Phone) =>
  phone.workshop.asked.filter(({ method, path }) => method === 'POST' && path === '/api/entries').length

test('what the workshop erased goes from the phone at the next sync, from both its copies, and stays gone', async () => {
  const phone = await joined()
  const [words, picture] = [await note(phone.store, 'said too much'), await shoot(phone.store)]
  const kept = await note(phone.store, 'harmless')
  await phone.sync.now()
  expect(await journal(phone)).toContain('said too much')
  for (const blob of [words, picture]) await phone.workshop.state('blob.erased', { blob, ...WHY })
  await phone.sync.now()
  expect(await phone.store.secretValue({ blob: words })).toBeNull()
  expect(await phone.store.photo(picture)).toBeNull()
  expect(await phone.store.secretValue({ blob: kept })).toBe('harmless')
  expect(await journal(phone)).not.toContain('said too much')
  expect([...phone.disk.photos.keys()]).toEqual([])
  const store = await phone.restart()
  expect(await store.secretValue({ blob: words })).toBeNull()
  expect([store.places.value.phone, codes(store)]).toEqual([0, []])
  // The entries that named them are evidence, and stay.
  expect((await store.log(JOB)).map(({ entry }) => entry.kind)).toEqual([
    'note.added',
    'photo.taken',
    'note.added',
  ])
})

test('one that had not been sent is told', async () => {
  const phone = await joined()
  const blob = await note(phone.store, 'never sent')
  await phone.workshop.state('blob.erased', { blob, ...WHY })
  phone.workshop.line = ({ path }) =>
    path === '/api/entries' ? Promise.reject(new TypeError('no line')) : undefined
  await phone.sync.now()
  expect(codes(phone.store)).toEqual(['erased-unsent'])
  expect(await phone.store.secretValue({ blob })).toBeNull()
})

test('what a journal still has of it after a crash is not put back', async () => {
  const phone = await joined()
  const blob = await note(phone.store, 'said too much')
  await phone.sync.now()
  await phone.workshop.state('blob.erased', { blob, ...WHY })
  // The second copy cannot be written anew just then.
  const store = phone.store as unknown as { blobs: { inside: { keeper: { letGo: () => Promise<void> } } } }
  store.blobs.inside.keeper.letGo = async () => undefined
  await phone.sync.now()
  expect(await journal(phone)).toContain('said too much')
  const again = await phone.restart()
  expect(await again.secretValue({ blob })).toBeNull()
  expect(await journal(phone)).not.toContain('said too much')
  expect(again.places.value.phone).toBe(0)
})

test.each(['mechanic', 'owner'] as const)(
  'an order hides it from a %s, and a withdrawal shows it again',
  async (role) => {
    const phone = await joined(role)
    const blob = await note(phone.store, 'perhaps too much')
    await phone.sync.now()
    const order = await phone.workshop.state('erasure.ordered', { blobs: [blob], ...WHY })
    await phone.sync.now()
    expect(await phone.store.secretValue({ blob })).toBe(role === 'owner' ? 'perhaps too much' : null)
    await phone.workshop.state('erasure.withdrawn', { order: order.id, because: 'a mistake' })
    await phone.sync.now()
    expect(await phone.store.secretValue({ blob })).toBe('perhaps too much')
  },
)

test('a withdrawn phone lets go of what it received, and keeps sealed what it has not sent, until that is taken', async () => {
  const phone = await joined()
  const sent = await note(phone.store, 'in the workshop')
  await phone.sync.now()
  const unsent = await note(phone.store, 'only here')
  phone.workshop.revoked = true
  phone.workshop.line = ({ method, path }) =>
    method === 'POST' && path === '/api/entries' ? Promise.reject(new TypeError('no line')) : undefined
  await phone.sync.now()
  expect(phone.store.sealed.value).toBe('revoked')
  expect(await phone.store.secretValue({ blob: sent })).toBeNull()
  expect(await phone.store.secretValue({ blob: unsent })).toBe('only here')
  expect(await journal(phone)).toContain('only here')
  expect(await journal(phone)).not.toContain('in the workshop')
  await phone.restart()
  expect([phone.store.sealed.value, phone.store.places.value.phone]).toEqual(['revoked', 1])
  expect(await phone.store.secretValue({ blob: sent })).toBeNull()
  phone.workshop.line = () => undefined
  await phone.sync.now()
  expect(phone.store.places.value.phone).toBe(0)
  expect(await phone.store.secretValue({ blob: unsent })).toBeNull()
  expect(phone.workshop.blobs.has(unsent)).toBe(true)
})

const ENDS = [
  { code: 'device-shut', how: 'shut', refuses: (path: string) => path !== '/api/session/nonce' },
  { code: 'access-over', how: 'over', refuses: (path: string) => path === '/api/log' },
] as const

test.each(ENDS)(
  'told $code it lets go of what it received, sends nothing, and keeps sealed what it has not sent',
  async ({ code, how, refuses }) => {
    const phone = await joined()
    const sent = await note(phone.store, 'in the workshop')
    await phone.sync.now()
    const unsent = await note(phone.store, 'only here')
    const before = own(phone)
    phone.workshop.line = ({ path }) =>
      refuses(path.split('?')[0] ?? '') ? Promise.resolve(refusal(403, code)) : undefined
    await phone.sync.now()
    expect(phone.store.sealed.value).toBe(how)
    expect(phone.sync.status.value.words).toMatch(
      /^The (owner has shut this phone out|time that this auditor was given is over)\./,
    )
    expect(await journal(phone)).not.toContain('in the workshop')
    await phone.restart()
    await phone.sync.now()
    expect([phone.store.sealed.value, phone.store.places.value.phone, own(phone)]).toEqual([how, 1, before])
    expect(await Promise.all([sent, unsent].map((blob) => phone.store.secretValue({ blob })))).toEqual([
      null,
      'only here',
    ])
    expect(await readWaiting(phone.name)).toEqual({ lines: [], values: [] })
    expect(await (await phone.store.exportAll()).text()).toContain('only here')
  },
)

test('a phone is not sealed for the session of a device that was shut out, which it was before', async () => {
  const phone = await joined()
  let isAnothers = true
  phone.workshop.line = ({ method, path }) => {
    if (method === 'POST' && path === '/api/session') isAnothers = false
    return isAnothers && path.startsWith('/api/log')
      ? Promise.resolve(refusal(403, 'device-shut'))
      : undefined
  }
  await phone.restart()
  await phone.sync.now()
  expect([phone.store.sealed.value, phone.sync.status.value.state]).toEqual([null, 'idle'])
})

test('a phone that is signed out has no key, asks nothing, and sends what waits when it is let in anew', async () => {
  const phone = await joined()
  const sent = await note(phone.store, 'in the workshop')
  await phone.sync.now()
  phone.workshop.line = ({ path }) =>
    path === '/api/session' ? undefined : Promise.reject(new TypeError('no line'))
  const unsent = await note(phone.store, 'only here')
  await phone.sync.signOut()
  expect(phone.workshop.signedIn).toBe(false)
  expect([phone.store.sealed.value, phone.store.device.value?.secret]).toEqual(['signed-out', null])
  expect(await phone.store.secretValue({ blob: sent })).toBeNull()
  await expect(note(phone.store, 'after')).rejects.toMatchObject({ trouble: { code: 'not-enrolled' } })
  phone.workshop.line = () => undefined
  const before = own(phone)
  await phone.restart()
  await phone.sync.now()
  expect([own(phone), phone.store.places.value.phone, phone.store.sealed.value]).toEqual([
    before,
    1,
    'signed-out',
  ])
  await enrol(phone, await phone.workshop.invite('mechanic'))
  await phone.sync.now()
  expect([phone.store.sealed.value, phone.store.places.value.phone]).toEqual([null, 0])
  expect(phone.workshop.blobs.has(unsent)).toBe(true)
})

test('the worker of a phone that is signed out finds nothing to send', async () => {
  const phone = await joined()
  phone.workshop.line = ({ path }) =>
    path === '/api/session' ? undefined : Promise.reject(new TypeError('no line'))
  await note(phone.store, 'only here')
  expect((await readWaiting(phone.name)).values).toHaveLength(1)
  await phone.sync.signOut()
  expect(await readWaiting(phone.name)).toEqual({ lines: [], values: [] })
})

test('a phone that is let in anew while its last round as a withdrawn one still sends stays in', async () => {
  const phone = await joined()
  await note(phone.store, 'still to be sent')
  phone.workshop.revoked = true
  const { passed, open } = gate()
  phone.workshop.line = ({ path }, answer) => (path === '/api/entries' ? passed.then(answer) : undefined)
  const round = phone.sync.now()
  await vi.waitFor(() => expect(phone.store.sealed.value).toBe('revoked'))
  phone.workshop.revoked = false // the device that it is from now on is not
  const invitation = readInvitation(await phone.workshop.invite('mechanic'))
  if (!invitation.ok) throw new Error(invitation.trouble.message)
  expect(await phone.sync.enrol(invitation.value)).toEqual({ ok: true, value: null })
  open()
  await round
  expect(phone.store.sealed.value).toBeNull()
})

test('what comes after a phone was signed out does not stay on it', async () => {
  const phone = await joined()
  await phone.workshop.name(JOB, 'Bea Lark')
  const { passed, open } = gate()
  phone.workshop.line = ({ path }, answer) =>
    path.startsWith('/api/blobs/') ? passed.then(answer) : undefined
  const round = phone.sync.now()
  await vi.waitFor(() => expect(phone.workshop.asked.at(-1)?.path).toMatch('/api/blobs/'))
  const out = phone.sync.signOut()
  await vi.waitFor(() => expect(phone.store.sealed.value).toBe('signed-out'))
  open()
  await Promise.all([round, out])
  expect(await valuesHere(phone)).toEqual([])
})

test('a phone that is signed out during a round ends its session all the same', async () => {
  const phone = await joined()
  const { passed, open } = gate()
  phone.workshop.line = ({ path }, answer) => (path.startsWith('/api/log') ? passed.then(answer) : undefined)
  void phone.sync.now()
  const out = phone.sync.signOut()
  await vi.waitFor(() => expect(phone.store.sealed.value).toBe('signed-out'))
  open()
  await out
  expect(phone.workshop.signedIn).toBe(false)
})

test('what is told to be erased while the phone lets go of what was erased before goes, too', async () => {
  const phone = await joined()
  const [first, second] = [await note(phone.store, 'too much'), await note(phone.store, 'too much, too')]
  await phone.sync.now()
  await phone.workshop.state('blob.erased', { blob: first, ...WHY })
  const { passed, open } = gate()
  const forget = phone.store.blobs.forget.bind(phone.store.blobs)
  const held = vi.spyOn(phone.store.blobs, 'forget')
  held.mockImplementationOnce((erased) => passed.then(() => forget(erased)))
  const round = phone.sync.now()
  await vi.waitFor(() => expect(held).toHaveBeenCalled())
  await phone.workshop.state('blob.erased', { blob: second, ...WHY })
  expect(await phone.sync.bringJobs([JOB])).toEqual({ ok: true, value: null }) // a screen of the job is opened
  open()
  await round
  await phone.sync.now()
  expect(await phone.store.secretValue({ blob: second })).toBeNull()
})

test('a photo that the workshop asks for while room is made on the phone stays there until it is sent', async () => {
  const phone = await joined()
  const picture = await shoot(phone.store)
  await phone.sync.now()
  await phone.workshop.state('backup.made', { size: phone.workshop.records.length })
  await phone.sync.now()
  expect(await phone.store.photoPlace(picture)).toBe('backup')
  // How much room there is takes a moment to be known: a round goes on meanwhile.
  await phone.store.inside.keeper.pictures.free(async () => {
    await phone.store.blobs.sendAgain([picture])
    return true
  })
  expect(phone.store.places.value.photosWaiting).toBe(1)
  phone.workshop.blobs.delete(picture)
  await phone.sync.now()
  expect([...phone.workshop.blobs.keys()]).toContain(picture)
})
