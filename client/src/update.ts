/**
 * A new build of the app waits behind the running one until it is told to take over.
 * The app asks only between jobs: an open job is finished on the build it was begun with.
 */
import { signal, type ReadonlySignal } from '@preact/signals'

const waiting = signal<ServiceWorker | null>(null)

/** The worker of a new build that is ready, or null. */
export const newBuild: ReadonlySignal<ServiceWorker | null> = waiting

export async function registerWorker(): Promise<void> {
  const workers = navigator.serviceWorker
  const registration = await workers.register('/sw.js', { updateViaCache: 'none' })
  // The first worker of all also "waits" for a moment; only one behind a running one is an update.
  const look = () => {
    waiting.value = workers.controller ? registration.waiting : null
  }
  registration.addEventListener('updatefound', () => {
    registration.installing?.addEventListener('statechange', look)
  })
  document.addEventListener('visibilitychange', () => {
    // No signal, no update: the next look will find it.
    if (document.visibilityState === 'visible') registration.update().catch(() => undefined)
  })
  look()
}

/** Let the new build take over and start it. */
export function takeOver(): void {
  navigator.serviceWorker.addEventListener('controllerchange', () => location.reload(), { once: true })
  waiting.value?.postMessage('take-over')
}
