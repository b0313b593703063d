/**
 * A new build of the app waits behind the running one until it is told to take over.
 * The app asks only between jobs: an open job is finished on the build it was begun with.
 */
import { computed, signal, type ReadonlySignal } from '@preact/signals'

const waiting = signal<ServiceWorker | null>(null)
const taken = signal<ServiceWorker | null>(null)

/** The worker of a new build that is ready, or null. */
export const newBuild: ReadonlySignal<ServiceWorker | null> = waiting

/** It was told to take over: a browser may let the one before end first what it does. */
export const isTakingOver = computed(() => taken.value !== null && taken.value === waiting.value)

export async function registerWorker(): Promise<void> {
  const registration = await navigator.serviceWorker.register('/sw.js', { updateViaCache: 'none' })
  // The first worker of all also "waits" for a moment; only one behind an active one is an update. Whether this
  // page is served by that one does not matter: a browser at its limit opens it from the line, without any.
  const look = () => {
    waiting.value = registration.active ? registration.waiting : null
  }
  const follow = () => registration.installing?.addEventListener('statechange', look)
  registration.addEventListener('updatefound', follow)
  document.addEventListener('visibilitychange', () => {
    // No signal, no update: the next look will find it.
    if (document.visibilityState === 'visible') registration.update().catch(() => undefined)
  })
  follow() // one that was found before this page listened
  look()
}

/** Let the new build take over and start it: by its own word, for a page that no worker serves hears of no change. */
export function takeOver(): void {
  const next = waiting.value
  if (!next) return
  const startIt = () => {
    if (next.state === 'activated') location.reload()
  }
  taken.value = next
  next.addEventListener('statechange', startIt)
  next.postMessage('take-over')
  startIt() // it may have taken over by itself
}
