/** A question to the workshop's server, asked again whenever something kept here has changed. */
import { useEffect, useState } from 'preact/hooks'
import type { Answer } from '../../sync'
import type { Rooms } from '../rooms'

/** Null until there is an answer. The last good answer stays while a new one is on its way. */
export function useAsked<T>({ store, sync }: Rooms, path: string | null): Answer<T> | null {
  const [answer, setAnswer] = useState<Answer<T> | null>(null)
  const changed = store.changed.value
  useEffect(() => setAnswer(null), [path])
  useEffect(() => {
    let gone = false
    if (path !== null) void sync.ask<T>(path).then((found) => !gone && setAnswer((last) => (found.ok || !last?.ok ? found : last)))
    return () => {
      gone = true
    }
  }, [path, changed])
  return answer
}
