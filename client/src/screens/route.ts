/** The address behind `#`: which screen, and what it shows. The part after it is each screen's own. */
import { signal, type ReadonlySignal } from '@preact/signals'

const INVITATION = '#invite='

const hash = signal(location.hash)
addEventListener('hashchange', () => {
  hash.value = location.hash
})

export const route: ReadonlySignal<string> = hash

/** Go to `path` (without `#`); the back key of the phone leads back. */
export function go(path: string): void {
  location.hash = path
  hash.value = location.hash // not at the event: what else changes in the same moment is shown with it
}

/**
 * Take the invitation out of the address, so that its secret stays neither on the screen
 * nor in the history. Null when there is none.
 */
export function takeInvitation(): string | null {
  if (!location.hash.startsWith(INVITATION)) return null
  const link = location.href
  history.replaceState(null, '', location.pathname)
  hash.value = ''
  return link
}
