/**
 * A bonus, where a browser has Background Sync: what waits goes out when the line is back, though no
 * page is open. Nothing relies on it: only entries and private values are sent, under a session that
 * may be over, and no receipt is kept. The app sends all of it again and earns the same receipt.
 */
import { readWaiting } from '../store/queue'

export const SEND = 'send-what-waits'
const MOST_LINES = 50

/** Ask the browser to wake the worker once there is a line. It may have no such thing, or not want to. */
export async function askToBeWoken(): Promise<void> {
  const registration = await globalThis.navigator?.serviceWorker?.getRegistration()
  const { sync } = (registration ?? {}) as { sync?: { register(tag: string): Promise<void> } }
  await sync?.register(SEND).catch(() => undefined)
}

/** For the worker. @throws when not all of it went: the browser tries again a few times. */
export async function sendWhatWaits(name: string): Promise<void> {
  const { lines, values } = await readWaiting(name)
  while (lines.length || values.length) {
    const batch = { lines: lines.splice(0, MOST_LINES), blobs: values.splice(0, 2 * MOST_LINES) }
    const answer = await fetch('/api/entries', {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify({ sent_at: new Date().toISOString(), ...batch }),
      credentials: 'same-origin',
      redirect: 'error',
    })
    if (!answer.ok) throw new Error(`got ${answer.status}`)
  }
}
