/** Makes a photo ready to be kept. One that cannot be read answers nothing; it is read again when it is kept. */
import { drawThumbnail } from './thumbnail'
import { photoFile } from './photo-files'

declare const self: DedicatedWorkerGlobalScope

self.addEventListener('message', async ({ data }: MessageEvent<Blob>) => {
  const file = await photoFile(data, drawThumbnail)
  self.postMessage(file, [file.bytes, ...(file.thumb ? [file.thumb] : [])])
})
