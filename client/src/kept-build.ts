/**
 * One build of the app, kept whole on the phone. A chunk may be asked for long after its page was opened: so all of a
 * build's files are here before its worker may take over, and they stay while any page of it is open, whatever has
 * taken over since.
 */
export interface Build {
  version: string
  /** Every file: its address, and its SHA-256 in hex. */
  files: readonly (readonly [address: string, sha256: string])[]
}

/** Caches and network as a worker has them. */
export interface Around {
  caches: CacheStorage
  load: (address: string, init: RequestInit) => Promise<Response>
  /** Null where a browser has no locks: then nobody knows who is still there. */
  locks: Pick<LockManager, 'query'> | null
  /** Whether another build is being fetched, or waits to take over. */
  isOneComing: () => boolean
}

const PREFIX = 'twoturns-'
const LIVES = 'build '

export const cacheOf = ({ version }: Pick<Build, 'version'>): string => PREFIX + version

/** Names of what changes with its content: it may come out of the browser's own cache, where the page has put it. */
const isForEver = (address: string) => address.startsWith('/assets/')
/**
 * What follows all else: the code reader, which is more than the rest together and wanted by few screens, and desk and
 * audit, which no mechanic opens, and papers, which come when a job is done. Who wants one of them sooner asks for it by
 * that.
 */
const FOLLOWS = /\.wasm$|^\/check\.html$|^\/assets\/(scan\.worker|office|desk|audit|photos|paper|customer)-/

async function sha256(bytes: ArrayBuffer): Promise<string> {
  const hash = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes))
  return Array.from(hash, (byte) => byte.toString(16).padStart(2, '0')).join('')
}

/** A portal's page or half a file never becomes part of the app; what lies in the browser's cache may be either. */
async function fetchWhole({ load }: Around, address: string, expected: string): Promise<Response> {
  const found: string[] = []
  for (const cache of [isForEver(address) ? 'default' : 'no-cache', 'reload'] as const) {
    const answer = await load(address, { cache, redirect: 'error' })
    const hash = await sha256(await answer.clone().arrayBuffer())
    if (answer.ok && hash === expected) return answer
    found.push(`${answer.status} ${hash.slice(0, 12)}`)
  }
  throw new Error(`${address}: got ${found.join(', then ')}, expected ${expected.slice(0, 12)}`)
}

/** All fetched and checked before the first is kept: a failed install leaves nothing behind. @throws when one is wrong. */
export async function keepWhole({ version, files }: Build, around: Around): Promise<void> {
  const fetched: [string, Response][] = []
  for (const isTurn of [false, true]) {
    const wanted = files.filter(([address]) => FOLLOWS.test(address) === isTurn)
    const answers = await Promise.all(wanted.map(([address, hash]) => fetchWhole(around, address, hash)))
    fetched.push(...wanted.map(([address], i): [string, Response] => [address, answers[i] as Response]))
  }
  const cache = await around.caches.open(cacheOf({ version }))
  await Promise.all(fetched.map(([address, answer]) => cache.put(address, answer)))
}

/** Say that a page of this build is open, for as long as it is. `entry` is the address of its first script. */
export function livesIn(entry: string, locks: Pick<LockManager, 'request'>): void {
  void locks.request(LIVES + new URL(entry).pathname, { mode: 'shared' }, () => new Promise(() => undefined))
}

/**
 * Let go of each former build of which no page is open. Not while another one comes: a workshop that was put back gives a
 * former build again, and its files lie where they lay.
 */
export async function dropFormer(build: Build, { caches, locks, isOneComing }: Around): Promise<void> {
  if (isOneComing()) return
  const names = (await caches.keys()).filter((name) => name.startsWith(PREFIX)) // in the order in which they were made
  const former = names.slice(0, Math.max(0, names.indexOf(cacheOf(build))))
  if (!former.length) return
  const held = (await locks?.query())?.held ?? []
  const entries = held.flatMap(({ name }) => (name?.startsWith(LIVES) ? [name.slice(LIVES.length)] : []))
  await Promise.all(
    former.map(async (name) => {
      const cache = await caches.open(name)
      const found = await Promise.all(entries.map((entry) => cache.match(entry)))
      if (!found.some(Boolean)) await caches.delete(name)
    }),
  )
}

/** A file of the build; else one that an open page of another build asks for. The browser may have evicted both. */
export async function keptFile(
  build: Build,
  address: string,
  { caches }: Around,
): Promise<Response | undefined> {
  const own = await (await caches.open(cacheOf(build))).match(address)
  return own ?? (isForEver(address) ? caches.match(address) : undefined)
}
