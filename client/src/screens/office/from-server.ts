/** Questions to the workshop's server, asked again whenever something kept here has changed. */
import { useEffect, useState } from 'preact/hooks'
import type { Answer } from '../../sync'
import { reading, useChanged } from '../reading'
import type { Rooms } from '../rooms'

/** Null until there is an answer. The last good answer stays while a new one is on its way. */
export function useAsked<T>(
  { store, sync }: Rooms,
  path: string | null,
  question?: Record<string, string>,
): Answer<T> | null {
  const [answer, setAnswer] = useState<Answer<T> | null>(null)
  const changed = useChanged(store)
  const asked = JSON.stringify(question)
  useEffect(() => setAnswer(null), [path, asked])
  // biome-ignore lint/correctness/useExhaustiveDependencies: `asked` is the question as text, which is made anew each time
  useEffect(() => {
    if (path === null) return undefined
    return reading(sync.ask<T>(path, question), keepingGood(setAnswer))
  }, [sync, path, asked, changed])
  return answer
}

type Question = Record<string, string | number | boolean | readonly string[]>

/** A list that comes page by page. `older` asks for one page more; null where there is none. */
export interface List<P> {
  answer: Answer<P> | null
  older: (() => void) | null
}

interface Page {
  next: string | null
}

/** As `useAsked`, of a list: the pages that were asked for so far as one, with all the rows that stand under `of`. */
export function useList<P extends Page>(
  { store, sync }: Rooms,
  path: string | null,
  question?: Question,
  of: keyof P & string = 'jobs' as keyof P & string,
): List<P> {
  const [answer, setAnswer] = useState<Answer<P> | null>(null)
  const [pages, setPages] = useState(1)
  const changed = useChanged(store)
  const asked = JSON.stringify(question)
  useEffect(() => {
    setAnswer(null)
    setPages(1)
  }, [path, asked])
  // biome-ignore lint/correctness/useExhaustiveDependencies: `asked` is the question as text, which is made anew each time
  useEffect(() => {
    if (path === null) return undefined
    return reading(joined<P>(sync, path, question, pages, of), keepingGood(setAnswer))
  }, [sync, path, asked, pages, of, changed])
  const hasMore = answer?.ok && answer.value.next
  return { answer, older: hasMore ? () => setPages(pages + 1) : null }
}

async function joined<P extends Page>(
  sync: Rooms['sync'],
  path: string,
  question: Question | undefined,
  pages: number,
  of: keyof P & string,
): Promise<Answer<P>> {
  let found = await sync.ask<P>(path, question)
  for (let page = 1; page < pages && found.ok && found.value.next; page++) {
    const before = found.value
    const after = { after: found.value.next }
    const next = question
      ? await sync.ask<P>(path, { ...question, ...after })
      : await sync.ask<P>(`${path}?${new URLSearchParams(after)}`)
    found = next.ok
      ? { ok: true, value: { ...before, [of]: rowsOf(before, next.value, of), next: next.value.next } }
      : next
  }
  return found
}

const rowsOf = <P>(before: P, after: P, of: keyof P) => [
  ...(before[of] as readonly unknown[]),
  ...(after[of] as readonly unknown[]),
]

/** What takes an answer, and keeps the last good one when no better comes. */
const keepingGood =
  <T>(set: (told: (last: Answer<T> | null) => Answer<T>) => void) =>
  (found: Answer<T>) =>
    set((last) => (found.ok || !last?.ok ? found : last))
