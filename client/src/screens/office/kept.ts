/** What was typed or chosen on a page: the back key must not cost it, nor, of what is to be stated, a reload. */
import { useState } from 'preact/hooks'
import { forgetTyped, keepTyped, typedOf } from '../../store/typed-drafts'

const kept = new Map<string, unknown>()

/**
 * As `useState`, kept under a name while other pages are looked at, for as long as the app is open.
 *
 * @param name what it is, and of which page: two with one name are one
 */
export function useKept<T>(name: string, start: T): [T, (value: T) => void] {
  const [value, setValue] = useState<T>(() => (kept.has(name) ? (kept.get(name) as T) : start))
  const keep = (next: T) => {
    kept.set(name, next)
    setValue(next)
  }
  return [value, keep]
}

const TYPED = 'desk/'

/**
 * As `useKept`, over a reload, too: a form that is begun, which a newer app must not cost (`store/typed-drafts.ts`).
 *
 * @param bare without what storage cannot hold: a file that was chosen
 */
export function useTyped<T>(
  name: string,
  start: T,
  bare: (value: T) => T = (value) => value,
): [T, (value: T) => void] {
  const before = typedOf(`${TYPED}${name}`, new Date())?.value as T | undefined
  const [value, keep] = useKept(name, before ?? start)
  const keepBoth = (next: T) => {
    keepTyped(`${TYPED}${name}`, bare(next), new Date())
    keep(next)
  }
  return [value, keepBoth]
}

/** It was stated, or given up: the next time the form begins anew. */
export function letGo(name: string): void {
  kept.delete(name)
  forgetTyped(`${TYPED}${name}`)
}
