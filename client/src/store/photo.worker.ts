/** Makes a photo ready to be kept. One that cannot be read answers nothing; it is read again when it is kept. */
import { drawThumbnail } from './thumbnail'
import { photoFile } from './photo-files'

declare const self: DedicatedWorkerGlobalScope

async function answer({ data }: MessageEvent<Blob>): Promise<void> {
  const file = await photoFile(data, drawThumbnail)
  self.postMessage(file, [file.bytes, ...(file.thumb ? [file.thumb] : [])])
}

// A rejection alone is heard by nobody outside: reported, it ends the waiting.
self.addEventListener(
  'message',
  (asked) => void answer(asked).catch((error: unknown) => self.reportError(error)),
)
