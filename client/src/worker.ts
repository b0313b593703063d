/**
 * The service worker: serves one build of the app, which it keeps whole (`kept-build.ts`). The API is never answered
 * from here. A new build waits until the app, between jobs, says `take-over`.
 */
import { dropFormer, keepWhole, keptFile, type Around, type Build } from './kept-build'
import { SEND, sendWhatWaits } from './sync/background'

declare const self: ServiceWorkerGlobalScope
declare const __FILES__: [address: string, sha256: string][]
declare const __VERSION__: string

const build: Build = { version: __VERSION__, files: __FILES__ }
const known = new Set(build.files.map(([address]) => address))
const around: Around = {
  caches: self.caches,
  load: (address, init) => self.fetch(address, init),
  locks: self.navigator.locks ?? null,
  isOneComing: () => Boolean(self.registration.installing ?? self.registration.waiting),
}

const served = async (address: string, request: Request): Promise<Response> =>
  (await keptFile(build, address, around)) ?? self.fetch(request)

self.addEventListener('install', (event) => event.waitUntil(keepWhole(build, around)))
// A page of the first visit is served from here, too, from now on: else the next build finds nobody to wait for.
const activate = () => Promise.all([dropFormer(build, around), self.clients.claim()])

self.addEventListener('activate', (event) => event.waitUntil(activate()))
self.addEventListener('message', (event) => {
  if (event.data === 'take-over') event.waitUntil(self.skipWaiting())
})
// Not in the library's types: Background Sync is no standard of all browsers.
self.addEventListener('sync' as 'message', (event) => {
  const { tag, waitUntil } = event as unknown as { tag: string; waitUntil: (work: Promise<void>) => void }
  if (tag === SEND) waitUntil.call(event, sendWhatWaits('two-turns'))
})
self.addEventListener('fetch', (event) => {
  const { request } = event
  const { origin, pathname } = new URL(request.url)
  if (request.method !== 'GET' || origin !== self.location.origin) return
  const isPage = request.mode === 'navigate' && !pathname.startsWith('/api/')
  if (known.has(pathname) || pathname.startsWith('/assets/')) event.respondWith(served(pathname, request))
  else if (isPage) event.respondWith(served('/', request))
  if (isPage) event.waitUntil(dropFormer(build, around)) // the last page of a former build may have been left since
})
