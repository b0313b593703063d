/**
 * What was typed at the bench and is not in the workshop yet: in this browser, at each change, before anything else is
 * done. A tab may close in the next moment, and a request that it sends then carries no more than 64 kB.
 */

/** A text, and the version of the draft that it was written on. */
export interface Unsent {
  text: string
  version: string
}

const keyOf = (name: string) => `bench/${name}`

export function unsentOf(name: string): Unsent | null {
  try {
    const found = JSON.parse(localStorage.getItem(keyOf(name)) ?? 'null') as Partial<Unsent> | null
    return typeof found?.text === 'string' && typeof found.version === 'string' ? (found as Unsent) : null
  } catch {
    return null // of another build, or a browser that keeps nothing
  }
}

export function keepUnsent(name: string, unsent: Unsent): void {
  try {
    localStorage.setItem(keyOf(name), JSON.stringify(unsent))
  } catch {
    // No room, or not allowed: it goes out in a moment all the same, and the page says until then that it has not.
  }
}

/** Forget a text that the workshop holds now; another one, typed since or in another tab, stays. */
export function forgetUnsent(name: string, text?: string): void {
  const unsent = unsentOf(name)
  if (unsent && (text === undefined || unsent.text === text)) localStorage.removeItem(keyOf(name))
}
