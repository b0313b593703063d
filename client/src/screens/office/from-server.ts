/** A question to the workshop's server, asked again whenever something kept here has changed. */
import { useEffect, useState } from 'preact/hooks'
import type { Answer } from '../../sync'
import type { Rooms } from '../rooms'

/** Null until there is an answer. The last good answer stays while a new one is on its way. */
export function useAsked<T>(
  { store, sync }: Rooms,
  path: string | null,
  question?: Record<string, string>,
): Answer<T> | null {
  const [answer, setAnswer] = useState<Answer<T> | null>(null)
  const changed = store.changed.value
  const asked = JSON.stringify(question)
  useEffect(() => setAnswer(null), [path, asked])
  useEffect(() => {
    let gone = false
    if (path !== null)
      void sync
        .ask<T>(path, question)
        .then((found) => !gone && setAnswer((last) => (found.ok || !last?.ok ? found : last)))
    return () => {
      gone = true
    }
  }, [path, asked, changed])
  return answer
}
