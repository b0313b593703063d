/**
 * What is being typed on a screen: neither the phone's back key nor a reload nor a kill may lose it (`store/typed-drafts.ts`).
 * Never a reading: one that was typed before is not what the gauge shows now.
 */
import { useMemo, useState } from 'preact/hooks'
import { forgetTyped, keepTyped, typedOf } from '../../store/typed-drafts'

export type Draft<T = string> = [
  draft: T,
  set: (draft: T) => void,
  forget: () => void,
  /** When what stood here as the screen came was typed; null: nothing did. It is not kept. */
  since: string | null,
]

const nameOf = (of: readonly string[]): string => of.join(' ')

/** When the draft of a screen that is not shown was typed; null: there is none. */
export const draftSince = (...of: string[]): string | null => typedOf(nameOf(of), new Date())?.at ?? null

/** As `useState`, under names that say whose draft it is. The third forgets it: it was kept in the job, or thrown away. */
export function useDraft<T>(of: readonly string[], empty: T): Draft<T> {
  const name = nameOf(of)
  const before = useMemo(() => typedOf(name, new Date()), [name])
  const [typed, setTyped] = useState<{ name: string; value: T } | null>(null)
  const draft = typed?.name === name ? typed.value : ((before?.value as T | undefined) ?? empty)
  const set = (next: T) => {
    if (JSON.stringify(next) === JSON.stringify(empty)) forgetTyped(name)
    else keepTyped(name, next, new Date())
    setTyped({ name, value: next })
  }
  return [draft, set, () => forgetTyped(name), before?.at ?? null]
}
