/**
 * The service worker: keeps one build of the app whole on the phone.
 *
 * Every file is fetched past the HTTP cache and must have the hash the build gave it: a portal's
 * page or half a file never becomes part of the app. The API is never answered from here.
 * A new build waits until the app, between jobs, says `take-over`.
 */
import { SEND, sendWhatWaits } from './sync/background'

declare const self: ServiceWorkerGlobalScope
declare const __FILES__: [address: string, sha256: string][]
declare const __VERSION__: string

const CACHE = `twoturns-${__VERSION__}`
const known = new Set(__FILES__.map(([address]) => address))

async function sha256(bytes: ArrayBuffer): Promise<string> {
  const hash = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes))
  return Array.from(hash, (byte) => byte.toString(16).padStart(2, '0')).join('')
}

async function fetchWhole(address: string, expected: string): Promise<Response> {
  const answer = await fetch(new Request(address, { cache: 'reload', redirect: 'error' }))
  const found = await sha256(await answer.clone().arrayBuffer())
  if (!answer.ok || found !== expected) {
    throw new Error(
      `${address}: got ${answer.status} with ${found.slice(0, 12)}, expected ${expected.slice(0, 12)}`,
    )
  }
  return answer
}

/** All fetched and checked before the first is kept: a failed install leaves nothing behind. */
async function install(): Promise<void> {
  const answers = await Promise.all(__FILES__.map(([address, hash]) => fetchWhole(address, hash)))
  const cache = await caches.open(CACHE)
  await Promise.all(__FILES__.map(([address], i) => cache.put(address, answers[i] as Response)))
}

async function dropOlder(): Promise<void> {
  const names = await caches.keys()
  await Promise.all(
    names.filter((name) => name.startsWith('twoturns-') && name !== CACHE).map((name) => caches.delete(name)),
  )
}

async function fromCache(address: string, request: Request): Promise<Response> {
  const kept = await (await caches.open(CACHE)).match(address)
  return kept ?? fetch(request) // the browser may have evicted the cache
}

self.addEventListener('install', (event) => event.waitUntil(install()))
self.addEventListener('activate', (event) => event.waitUntil(dropOlder()))
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
  if (known.has(pathname)) event.respondWith(fromCache(pathname, request))
  else if (request.mode === 'navigate' && !pathname.startsWith('/api/'))
    event.respondWith(fromCache('/', request))
})
