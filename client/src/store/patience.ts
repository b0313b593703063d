/** For places beside the two that count: after a wipe Chromium may never answer the page that saw it. */
const PATIENCE_MS = 2_000

export function patient<T>(answer: Promise<T>): Promise<T> {
  const tooLong = new Promise<never>((_, reject) => {
    setTimeout(() => reject(new DOMException('the storage does not answer', 'TimeoutError')), PATIENCE_MS)
  })
  return Promise.race([answer, tooLong])
}
