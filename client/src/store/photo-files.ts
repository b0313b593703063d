/**
 * Photos that may be kept soon: read, hashed and drawn small beside the screen's thread, as soon as they are shot. What is
 * kept under such a hash is hashed anew where it lies, as any other photo: one that is wrong is refused there.
 */
import { blobId } from '../ledger/private'
import type { Thumbnail } from './thumbnail'

/** A photo as it will be kept. */
export interface PhotoFile {
  blob: string
  bytes: ArrayBuffer
  /** Null where it was not drawn; it is drawn then when the bytes are let go of. */
  thumb: ArrayBuffer | null
}

export async function photoFile(photo: Blob, thumbnail: Thumbnail): Promise<PhotoFile> {
  const [bytes, thumb] = await Promise.all([photo.arrayBuffer(), thumbnail(photo)])
  return { blob: await blobId(new Uint8Array(bytes)), bytes, thumb }
}

const undrawn: Thumbnail = async () => null

/** Null where there are no workers. */
export type MakeWorker = (() => Worker) | null

export class PhotoFiles {
  readonly #ready = new WeakMap<Blob, PhotoFile>()

  constructor(private readonly make: MakeWorker) {}

  /** Begin. Where no worker starts, or it has not answered by then, `of` does the work. */
  expect(photo: Blob): void {
    const worker = this.#begun()
    if (!worker) return
    worker.onmessage = ({ data }: MessageEvent<PhotoFile>) => {
      this.#ready.set(photo, data)
      worker.terminate()
    }
    worker.onerror = () => worker.terminate()
    worker.postMessage(photo)
  }

  #begun(): Worker | null {
    try {
      return this.make?.() ?? null
    } catch {
      return null
    }
  }

  of(photo: Blob): Promise<PhotoFile> {
    const ready = this.#ready.get(photo)
    return ready ? Promise.resolve(ready) : photoFile(photo, undrawn)
  }
}
