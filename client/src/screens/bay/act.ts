/** An act of the mechanic: written, shown as written, said aloud to those who hear the screen. */
import { signal } from '@preact/signals'
import { useState } from 'preact/hooks'
import { NotKept, type Trouble } from '../../store'

/** What the live region says; every screen shares the one region, so that a new screen does not cut it off. */
export const announced = signal('')

/** How long a line that has become whole is shown before the next screen comes. */
const SEEN_MS = 450

const unknown = (error: unknown): Trouble => ({
  code: 'not-kept',
  message: 'The last act was not kept. Everything before it was.',
  hint: `Do it again. (${String(error)})`,
})

const pause = (ms: number) => new Promise<void>((done) => setTimeout(done, ms))

export interface Act {
  trouble: Trouble | null
  /**
   * Write, then go on. The promise resolves when it is on this phone, so that the key shows its whole line;
   * `then` runs a moment later. It rejects when nothing was kept: `trouble` says why.
   */
  run: (write: () => Promise<unknown>, said: string, then: () => void) => Promise<void>
}

export function useAct(): Act {
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const run: Act['run'] = async (write, said, then) => {
    try {
      await write()
    } catch (error) {
      setTrouble(error instanceof NotKept ? error.trouble : unknown(error))
      throw error
    }
    setTrouble(null)
    announced.value = said
    void pause(SEEN_MS).then(then)
  }
  return { trouble, run }
}
