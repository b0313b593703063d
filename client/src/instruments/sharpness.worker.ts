/** Measures a photo beside the screen's thread. */
import { photoQuality } from './sharpness-photo'

declare const self: DedicatedWorkerGlobalScope

self.addEventListener('message', async ({ data }: MessageEvent<Blob>) => {
  self.postMessage(await photoQuality(data))
})
