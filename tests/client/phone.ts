/** A phone for tests: a store over an in-memory IndexedDB, and a lock manager, which Node lacks. */
import 'fake-indexeddb/auto'
import { openDB } from 'idb'
import type { Body } from '@client/ledger/bodies'
import { generateKey } from '@client/ledger/keys'
import { openStore, type PhoneStore, type Device } from '@client/store'

export const WORKSHOP = 'W'.repeat(43)
export const PERSON = '0193a5b0-0000-7000-8000-000000000001'
export const JOB = '0193a5b0-0000-7000-8000-0000000000aa'

/** Web Locks as far as the store asks for them: exclusive, in order, `ifAvailable`. */
export class Locks {
  #queue = new Map<string, Promise<unknown>>()
  #held = new Set<string>()

  request = (async (name: string, ...rest: unknown[]) => {
    const act = rest.at(-1) as (lock: { name: string } | null) => unknown
    const options = (rest.length > 1 ? rest[0] : {}) as { ifAvailable?: boolean }
    if (options.ifAvailable && this.#held.has(name)) return act(null)
    const before = this.#queue.get(name) ?? Promise.resolve()
    const mine = before.then(async () => {
      this.#held.add(name)
      await act({ name })
      this.#held.delete(name)
    })
    this.#held.add(name)
    this.#queue.set(name, mine)
    return mine
  }) as unknown as LockManager['request']
}

let phones = 0
export const freshName = () => `phone ${++phones}`

export interface Opened {
  store: PhoneStore
  name: string
  locks: Locks
}

/** Open the store of a phone; the same name and locks again are a second tab, or the next start. */
export async function openPhone(name = freshName(), locks = new Locks()): Promise<Opened> {
  return { store: await openStore({ name, locks }), name, locks }
}

export const makeDevice = async (): Promise<Device> => deviceOf(await generateKey())

export function deviceOf({ key, thumbprint, secret }: Awaited<ReturnType<typeof generateKey>>): Device {
  return {
    id: thumbprint,
    key,
    secret,
    workshop: WORKSHOP,
    workshopKey: 'K'.repeat(43),
    workshopName: 'Cogline Garage',
    person: PERSON,
    role: 'mechanic',
    personName: '',
  }
}

/** From now on the phone is this device, without anybody having been asked. */
export async function become(store: PhoneStore, device: Device): Promise<void> {
  const { name } = (store as unknown as { options: { name: string } }).options
  const db = await openDB(name)
  await db.put('things', device, 'device')
  db.close()
  await store.settled()
}

/** A phone that belongs to a workshop. */
export async function enrolledPhone(): Promise<Opened & { device: Device }> {
  const opened = await openPhone()
  const device = await makeDevice()
  await become(opened.store, device)
  return { ...opened, device }
}

/** A belt's note, by what the microphone kept. */
export const noteOf = (saw: NonNullable<Body<'reading.taken'>['saw']>): Body<'reading.taken'> => ({
  step: 'two_turns',
  name: 'note',
  value: '81.5',
  unit: 'Hz',
  by: 'pluck',
  saw,
})

/** Keep a photo and its entry, as a screen does. */
export const keepPhoto = (store: PhoneStore, picture: Blob) =>
  store.write(JOB, async (writing) => {
    const blob = await writing.photo(picture)
    const said = { step: 'cover_off', name: 'covers', blob, size: picture.size, width: 0, height: 0 }
    await writing.entry('photo.taken', { ...said, type: 'image/jpeg', how: 'live' })
  })

export const blobOf = async (act: ReturnType<typeof keepPhoto>) =>
  ((await act)[0]!.body as { blob: string }).blob
