/** A question to the workshop's server, asked again whenever something kept here has changed. */
import { useEffect, useState } from 'preact/hooks'
import type { Answer } from '../../sync'
import { reading } from '../reading'
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
  // biome-ignore lint/correctness/useExhaustiveDependencies: `asked` is the question as text, which is made anew each time
  useEffect(() => {
    if (path === null) return undefined
    const keepsGood = (found: Answer<T>) => setAnswer((last) => (found.ok || !last?.ok ? found : last))
    return reading(sync.ask<T>(path, question), keepsGood)
  }, [sync, path, asked, changed])
  return answer
}
