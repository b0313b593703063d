/** An act of the mechanic: written, shown as written, said aloud to those who hear the screen. */
import { signal } from '@preact/signals'
import { useState } from 'preact/hooks'
import type { Entry } from '../../ledger/entry'
import type { Deed } from '../../parts/deed'
import { NotKept, painted, type Ahead, type Trouble } from '../../store'
import * as words from '../../words/en/bay/act'
import { t } from '../../words/message'

/** What the live region says; every screen shares the one region, so that a new screen does not cut it off. */
export const announced = signal('')

/** How long a line that has become whole is shown before the next screen comes. */
export const SEEN_MS = 450

const unknown = (error: unknown): Trouble => ({
  code: 'not-kept',
  message: t(words.notKept),
  hint: t(words.notKeptHint, { error: String(error) }),
})

const pause = (ms: number) => new Promise<void>((done) => setTimeout(done, ms))

/** Written acts that still stand on the screen, and what shows the newest reading of the log. */
let standing = 0
let reading: Promise<() => void> = Promise.resolve(() => undefined)

/**
 * Read the log and show what was read, but not before the act that changed it has been seen. Shown at once, the screen of
 * a step that is done would say for a moment that there is nothing to do in it, under a finger that is still there.
 * What is drawn now comes first, as the key's whole line: it is painted before anything is read again.
 */
export function onceSeen<T>(read: () => Promise<T>, show: (found: T) => void, isFirst = false): void {
  const found = isFirst ? read() : painted().then(read)
  reading = found.then((what) => () => show(what))
  if (standing === 0) void reading.then((showNow) => showNow())
}

/** What is done after an act and before what follows it, seen by nobody: what was typed for it is forgotten, say. */
export type Tidy = () => void | Promise<void>

export interface Act {
  trouble: Trouble | null
  /**
   * Write, then go on. The promise resolves when it is on this phone, so that the key shows its whole line;
   * `then` runs a moment later; null stays on the screen, which changes at once. It rejects when nothing was
   * kept: `trouble` says why.
   */
  run: (
    write: () => Promise<readonly Entry[]>,
    said: string,
    then: (() => void) | null,
    ...tidy: Tidy[]
  ) => Promise<void>
  /** The same for a key, to be run when it is held: where it hands `ahead` on to the store, it is signed before that. */
  deed: (
    write: (ahead?: Ahead) => Promise<readonly Entry[]>,
    said: string,
    then: (() => void) | null,
    ...tidy: Tidy[]
  ) => Deed
}

/** From now until `seen` an act stands on the screen. */
export function stand(): void {
  standing += 1
}

/** The act is over: what was read meanwhile and the next screen come together, as either alone would be one of its own. */
export async function seen(then: (() => void) | null): Promise<void> {
  let newest: typeof reading
  let show: () => void
  do {
    newest = reading
    show = await newest.catch(() => () => undefined)
  } while (newest !== reading) // while that was waited for the log was read again: by a receipt, say
  standing -= 1
  show()
  then?.()
}

/** @param goOn shows what an act wrote that stays on its screen, before the log is read again */
export function useAct(goOn: (entries: readonly Entry[]) => void = () => undefined): Act {
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const run: Act['run'] = async (write, said, then, ...tidy) => {
    if (then) stand()
    let entries: readonly Entry[]
    try {
      entries = await write()
    } catch (error) {
      if (then) void seen(null)
      setTrouble(error instanceof NotKept ? error.trouble : unknown(error))
      throw error
    }
    setTrouble(null)
    // The mark is seen first, then comes what follows from it.
    void painted().then(() => {
      announced.value = said
      if (!then) goOn(entries)
    })
    const tidied = Promise.allSettled(tidy.map(async (each) => each())) // the store says what it could not do
    if (then) void Promise.all([tidied, pause(SEEN_MS)]).then(() => seen(then))
  }
  const deed: Act['deed'] = (write, ...rest) =>
    Object.assign(() => run(write, ...rest), {
      ahead: (inMs: number) => {
        let hold: () => void = () => undefined
        const kept = write({ inMs, held: new Promise<void>((done) => (hold = done)) })
        kept.catch(() => undefined) // told by the run below
        return () => {
          hold()
          return run(() => kept, ...rest)
        }
      },
    })
  return { trouble, run, deed }
}
