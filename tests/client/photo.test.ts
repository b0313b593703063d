/** Photos made ready beside the screen's thread: what a worker answers, and what happens where none does. */
import { describe, expect, test, vi } from 'vitest'
import { qualityBeside } from '@client/instruments/sharpness-beside'
import { oneShot } from '@client/screens/bay/proofs/photo-shot'
import { blobId } from '@client/ledger/private'
import { openStore, NotKept } from '@client/store'
import { photoFile, type PhotoFile } from '@client/store/photo-files'
import { Disk } from './opfs'
import { become, freshName, JOB, keepPhoto, Locks, makeDevice } from './phone'

const small = async () => new TextEncoder().encode('small').buffer as ArrayBuffer
const picture = new Blob(['a picture'], { type: 'image/jpeg' })

/** A worker that answers as told, once it is asked. */
function workerOf(answer: (photo: Blob, worker: Worker) => Promise<void>): Worker {
  const worker: Pick<Worker, 'terminate' | 'postMessage'> & Partial<Worker> = {
    terminate: vi.fn(),
    postMessage: (photo: Blob) => void answer(photo, worker as Worker),
  }
  return worker as Worker
}

const telling = (of: (photo: Blob) => Promise<unknown>) =>
  workerOf(async (photo, worker) => worker.onmessage?.({ data: await of(photo) } as MessageEvent))

const fails = vi.hoisted(() => ({ with: new Error('no canvas here') }))
vi.mock('@client/instruments/sharpness-photo', () => ({ photoQuality: () => Promise.reject(fails.with) }))

describe('a photo that cannot be worked on', () => {
  /** What is reported in a worker reaches its `onerror`: HTML standard, "report an exception" (section from memory). */
  test('is reported by its worker, so that nobody waits for an answer', async () => {
    for (const worker of ['@client/store/photo.worker', '@client/instruments/sharpness.worker']) {
      const [self, reportError] = [new EventTarget(), vi.fn()]
      vi.stubGlobal('self', Object.assign(self, { reportError, postMessage: vi.fn() }))
      await import(worker)
      const unreadable = { arrayBuffer: () => Promise.reject(fails.with) }
      self.dispatchEvent(new MessageEvent('message', { data: unreadable }))
      await vi.waitFor(() => expect(reportError).toHaveBeenCalledWith(fails.with))
      vi.unstubAllGlobals()
    }
  })
})

const none = () => {
  throw new DOMException('not here', 'SecurityError')
}

const failing = () =>
  workerOf(async (_, worker) => worker.onerror?.({ message: 'no such file' } as ErrorEvent))

describe('a shot that is held to be kept', () => {
  test('is not given up while its figures are waited for, nor once it is kept', async () => {
    const [one, again] = [oneShot(), vi.fn()]
    let written = () => undefined as void
    one.unlessKept(again)()
    expect(again).toHaveBeenCalledOnce()
    const kept = one.keep(() => new Promise<void>((resolve) => (written = resolve)))
    one.unlessKept(again)()
    written()
    await kept
    one.unlessKept(again)()
    expect(again).toHaveBeenCalledOnce()
  })

  test('can be taken again when the write was refused', async () => {
    const [one, again] = [oneShot(), vi.fn()]
    await expect(one.keep(() => Promise.reject(fails.with))).rejects.toBe(fails.with)
    one.unlessKept(again)()
    expect(again).toHaveBeenCalledOnce()
  })
})

describe('the figures of a photo', () => {
  const figures = { sharp_tenths: 400, mean: 120, blown_permille: 0 }
  const here = vi.fn(async () => null)

  test('come from the worker, which ends then', async () => {
    const worker = telling(async () => figures)
    expect(await qualityBeside(picture, here, () => worker)).toEqual(figures)
    expect(here).not.toHaveBeenCalled()
    expect(worker.terminate).toHaveBeenCalledOnce()
  })

  test('are measured on this thread where a worker does not start', async () => {
    for (const make of [none, failing]) {
      const here = vi.fn(async () => figures)
      expect(await qualityBeside(picture, here, make)).toEqual(figures)
      expect(here).toHaveBeenCalledWith(picture)
    }
  })
})

describe('a photo that was expected', () => {
  async function phoneWith(make: () => Worker) {
    const disk = new Disk()
    const made = vi.fn(make)
    const store = await openStore({
      name: freshName(),
      locks: new Locks(),
      disk: disk.files,
      photoWorker: made,
    })
    await become(store, await makeDevice())
    const shoot = async (waits = false) => {
      store.expectPhoto(picture)
      const worker = made.mock.results[0]?.value as Worker
      if (waits) await vi.waitFor(() => expect(worker.terminate).toHaveBeenCalled())
      return keepPhoto(store, picture)
    }
    return { store, disk, made, shoot }
  }
  const right = (photo: Blob) => photoFile(photo, small)

  test('is kept as the worker made it, with its small picture', async () => {
    const { store, disk, shoot } = await phoneWith(() => telling(right))
    const read = vi.spyOn(picture, 'arrayBuffer')
    await shoot(true)
    const blob = await blobId(new TextEncoder().encode('a picture'))
    expect(await store.photoId(picture)).toBe(blob)
    expect(read).toHaveBeenCalledOnce() // by the worker, and not again when the key is held
    expect([...disk.photos.keys()]).toEqual([blob])
    expect(await (await store.thumb(blob))?.text()).toBe('small')
    read.mockRestore()
  })

  test('is refused under a hash that is not its own, and nothing of it is kept', async () => {
    const wrong = async (photo: Blob): Promise<PhotoFile> => ({
      ...(await right(photo)),
      blob: 'a'.repeat(64),
    })
    const { store, disk, shoot } = await phoneWith(() => telling(wrong))
    await expect(shoot(true)).rejects.toBeInstanceOf(NotKept)
    expect([await store.log(JOB), disk.photos.size, await store.thumb('a'.repeat(64))]).toEqual([[], 0, null])
  })

  test('is hashed when it is kept where no worker answers', async () => {
    for (const make of [none, failing, () => workerOf(async () => undefined)]) {
      const { store, disk, made, shoot } = await phoneWith(make)
      const [entry] = await shoot()
      expect(made).toHaveBeenCalledOnce()
      expect(entry?.body).toMatchObject({ blob: [...disk.photos.keys()][0] })
      expect(await store.thumb([...disk.photos.keys()][0] ?? '')).toBeNull()
    }
  })
})
