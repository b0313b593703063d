import { useEffect, useState } from 'preact/hooks'
import type { Store } from '../store'

/**
 * What an effect reads for its screen: told when it is here, unless the screen has gone or asks anew.
 *
 *     useEffect(() => reading(store.jobs(), setRows), [store, changed])
 *
 * Without that a slow answer to an earlier question would be shown over a quick one to the last.
 *
 * @returns what lets go of it: the effect's own answer
 */
export function reading<T>(read: Promise<T>, tell: (found: T) => void): () => void {
  let gone = false
  void read.then((found) => {
    if (!gone) tell(found)
  })
  return () => {
    gone = true
  }
}

/** Between two readings of a page that shows much: while a ledger comes in, every moment changes something. */
const REST_MS = 500

type Changed = Pick<Store['changed'], 'peek' | 'subscribe'>

/**
 * Tell of each change at once, and while changes go on, twice a second; the last is never left out.
 *
 * @returns what ends it
 */
export function following(changed: Changed, tell: (now: number) => void): () => void {
  let told = changed.peek()
  let resting: ReturnType<typeof setTimeout> | undefined
  const tellNow = () => {
    told = changed.peek()
    tell(told)
    resting = setTimeout(() => {
      resting = undefined
      if (told !== changed.peek()) tellNow()
    }, REST_MS)
  }
  const stop = changed.subscribe((now) => {
    if (now !== told && resting === undefined) tellNow()
  })
  return () => {
    stop()
    clearTimeout(resting)
  }
}

/** What `store.changed` counts, for pages that read much each time. */
export function useChanged({ changed }: Pick<Store, 'changed'>): number {
  const [seen, setSeen] = useState(() => changed.peek())
  useEffect(() => {
    setSeen(changed.peek())
    return following(changed, setSeen)
  }, [changed])
  return seen
}
