/** A photo's figures, measured beside the screen's thread, which stays free for the next tap. */
import type { Quality } from './sharpness'

const start = () => new Worker(new URL('./sharpness.worker.ts', import.meta.url), { type: 'module' })

/** @param here measures on this thread, only where a worker cannot start or fails */
export async function qualityBeside(
  photo: Blob,
  here: (photo: Blob) => Promise<Quality | null>,
  make: () => Worker = start,
): Promise<Quality | null> {
  try {
    return await answerOf(make(), photo)
  } catch {
    return here(photo)
  }
}

function answerOf(worker: Worker, photo: Blob): Promise<Quality | null> {
  const answer = new Promise<Quality | null>((resolve, reject) => {
    worker.onmessage = ({ data }: MessageEvent<Quality | null>) => resolve(data)
    worker.onerror = ({ message }) => reject(new Error(message))
  })
  worker.postMessage(photo)
  return answer.finally(() => worker.terminate())
}
