/**
 * The device's key once more, in a storage bucket of its own: a bucket has files of its own, and
 * this one is written only when a phone is enrolled. The key cannot be read out, so it can lie in
 * no file of ours; without it a phone that lost its IndexedDB could not go on with a job.
 * Only Chromium has buckets; elsewhere such a phone must be enrolled anew.
 */
import { patient } from './patience'
import type { Device } from './types'

export interface Keyring {
  read(): Promise<Device | null>
  keep(device: Device): Promise<void>
  /** Forget the key, if there is one. */
  drop(): Promise<void>
}

interface Buckets {
  open(
    name: string,
    options: { durability: 'strict'; persisted: boolean },
  ): Promise<{ indexedDB: IDBFactory }>
}

export const noKeyring: Keyring = {
  read: async () => null,
  keep: async () => undefined,
  drop: async () => undefined,
}

export function browserKeyring(name: string): Keyring {
  const buckets = (navigator as { storageBuckets?: Buckets }).storageBuckets
  if (!buckets) return noKeyring
  const inKeys = async <T>(
    mode: IDBTransactionMode,
    act: (keys: IDBObjectStore) => IDBRequest<T>,
  ): Promise<T> => {
    const bucket = await buckets.open(`${name}-key`, { durability: 'strict', persisted: true })
    const opening = bucket.indexedDB.open('keys', 1)
    opening.onupgradeneeded = () => opening.result.createObjectStore('keys')
    const db = await result(opening)
    try {
      const tx = db.transaction('keys', mode, { durability: 'strict' })
      const complete = new Promise<void>((resolve, reject) => {
        tx.oncomplete = () => resolve()
        tx.onabort = () => reject(tx.error)
      })
      const value = await result(act(tx.objectStore('keys')))
      await complete
      return value
    } finally {
      db.close()
    }
  }
  return {
    read: async () =>
      ((await patient(inKeys('readonly', (keys) => keys.get('device')))) as Device | undefined) ?? null,
    keep: async (device) => void (await patient(inKeys('readwrite', (keys) => keys.put(device, 'device')))),
    drop: async () => void (await patient(inKeys('readwrite', (keys) => keys.delete('device')))),
  }
}

const result = <T>(request: IDBRequest<T>): Promise<T> =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result)
    request.onerror = () => reject(request.error)
  })
