/** Measures a photo beside the screen's thread. */
import { photoQuality } from './sharpness-photo'

declare const self: DedicatedWorkerGlobalScope

const answer = async ({ data }: MessageEvent<Blob>): Promise<void> =>
  self.postMessage(await photoQuality(data))

// A rejection alone is heard by nobody outside: reported, it is measured on the screen's thread at once.
self.addEventListener(
  'message',
  (asked) => void answer(asked).catch((error: unknown) => self.reportError(error)),
)
