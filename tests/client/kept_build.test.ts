/** An update is killed at every file: the build that is there stays whole, and the new one takes over whole or not at all. */
import { createHash } from 'node:crypto'
import { afterEach, beforeEach, expect, test, vi } from 'vitest'
import { livesIn } from '@client/kept-build'

const sha256 = (text: string) => createHash('sha256').update(text).digest('hex')

/** Addresses with what lies there. */
type Files = Record<string, string>

const OLD: Files = {
  '/': 'page 1',
  '/mark.svg': 'mark',
  '/assets/index-1.js': 'entry 1',
  '/assets/step-1.js': 'step 1',
  '/assets/desk-1.js': 'desk 1',
  '/assets/zxing-1.wasm': 'reader',
}
const NEW: Files = {
  '/': 'page 2',
  '/mark.svg': 'mark',
  '/assets/index-2.js': 'entry 2',
  '/assets/step-2.js': 'step 2',
  '/assets/desk-2.js': 'desk 2',
  '/assets/zxing-1.wasm': 'reader',
}
const ADDRESSES = Object.keys(NEW)
const killed = new Promise<never>(() => undefined) // nobody hears of a worker that was ended

class FakeCache {
  readonly kept = new Map<string, Response>()
  constructor(private readonly world: World) {}

  async put(address: string, answer: Response): Promise<void> {
    if (this.world.putsLeft-- <= 0) return killed
    this.kept.set(address, answer)
  }

  match = async (address: string) => this.kept.get(address)?.clone()
}

/** A browser's origin: its caches outlive each worker. */
class World {
  readonly kept = new Map<string, FakeCache>()
  putsLeft = Infinity
  online = true
  served: Files = {}
  asked: string[] = []
  open: string[] = []
  /** A build waits behind the one that serves. */
  coming = false
  /** What the browser's own cache gives for an address, whatever the workshop has. */
  stale: Files = {}
  fault: (address: string) => Promise<Response> | null = () => null

  readonly caches = {
    keys: async () => [...this.kept.keys()],
    delete: async (name: string) => this.kept.delete(name),
    match: async (address: string) =>
      [...this.kept.values()].find((cache) => cache.kept.has(address))?.match(address),
    open: async (name: string) => {
      const cache = this.kept.get(name) ?? new FakeCache(this)
      this.kept.set(name, cache)
      return cache
    },
  }

  readonly fetch = async (address: string | { url: string }, init?: RequestInit): Promise<Response> => {
    const path = typeof address === 'string' ? address : new URL(address.url).pathname
    this.asked.push(`${init?.cache ?? 'page'} ${path}`)
    if (!this.online) throw new TypeError('no line')
    const stale = this.stale[path]
    if (stale !== undefined && init?.cache === 'default') return new Response(stale)
    const text = this.served[path]
    return this.fault(path) ?? new Response(text ?? 'none', { status: text === undefined ? 404 : 200 })
  }
}

interface Worker {
  install: () => Promise<unknown>
  activate: () => Promise<unknown>
  get: (address: string, mode?: string) => Promise<string | null>
}

/** The worker's own code, as the build of these files would have it. */
async function workerOf(world: World, files: Files): Promise<Worker> {
  vi.resetModules()
  const heard = new Map<string, (event: object) => void>()
  vi.stubGlobal('self', {
    addEventListener: (kind: string, hear: (event: object) => void) => heard.set(kind, hear),
    location: { origin: 'https://shop.example' },
    caches: world.caches,
    fetch: world.fetch,
    clients: { claim: async () => undefined },
    registration: {
      installing: null,
      get waiting() {
        return world.coming ? {} : null
      },
    },
    navigator: { locks: { query: async () => ({ held: world.open.map((name) => ({ name })) }) } },
  })
  vi.stubGlobal(
    '__FILES__',
    Object.entries(files).map(([address, text]) => [address, sha256(text)]),
  )
  vi.stubGlobal('__VERSION__', sha256(JSON.stringify(files)).slice(0, 16))
  await vi.importActual('@client/worker') // written for a worker's globals: other types than a page's
  const wait = async (kind: string) => {
    let waited: Promise<unknown> = Promise.resolve()
    heard.get(kind)?.({
      waitUntil: (work: Promise<unknown>) => {
        waited = work
      },
    })
    return waited
  }
  const get = async (address: string, mode = 'cors') => {
    let answer: Promise<Response> | null = null
    const after: Promise<unknown>[] = []
    heard.get('fetch')?.({
      request: { url: `https://shop.example${address}`, method: 'GET', mode },
      respondWith: (said: Promise<Response>) => {
        answer = said
      },
      waitUntil: (work: Promise<unknown>) => after.push(work),
    })
    const got = await (answer as Promise<Response> | null)
    await Promise.all(after)
    return got?.ok ? got.text() : null
  }
  return { install: () => wait('install'), activate: () => wait('activate'), get }
}

let world: World

/** A build that has come, and taken over. */
async function takenOver(files: Files): Promise<Worker> {
  const worker = await workerOf(world, files)
  await worker.install()
  await worker.activate()
  return worker
}
let old: Worker

async function isWhole(worker: Worker, files: Files): Promise<void> {
  world.online = false
  for (const [address, text] of Object.entries(files)) expect(await worker.get(address)).toBe(text)
  world.online = true
}

/** A page holds its lock for as long as it is open. */
function page(entry: string): () => void {
  let name = ''
  livesIn(`https://shop.example${entry}`, {
    request: async (asked: string) => {
      name = asked
      world.open.push(asked)
    },
  } as unknown as LockManager)
  return () => {
    world.open.splice(world.open.indexOf(name), 1)
  }
}

beforeEach(async () => {
  world = new World()
  world.served = OLD
  old = await takenOver(OLD)
  world.served = NEW
  world.asked = []
})

afterEach(() => vi.unstubAllGlobals())

const FAULTS: Record<string, () => Promise<Response>> = {
  'the line goes': () => Promise.reject(new TypeError('no line')),
  'half of it comes': async () => new Response('pa'),
  'a portal answers': async () => new Response('<h1>Welcome</h1>'),
  'it is gone': async () => new Response('none', { status: 404 }),
}

test.each(Object.keys(FAULTS).flatMap((fault) => ADDRESSES.map((address) => [fault, address] as const)))(
  'an update where %s at %s leaves the build that is there, and comes whole the next time',
  async (fault, address) => {
    const newer = await workerOf(world, NEW)
    world.fault = (asked) => (asked === address ? (FAULTS[fault] as () => Promise<Response>)() : null)
    await expect(newer.install()).rejects.toThrow()
    expect([...world.kept.keys()]).toHaveLength(1)
    await isWhole(old, OLD)

    world.fault = () => null
    await newer.install()
    await isWhole(old, OLD)
    await newer.activate()
    await isWhole(newer, NEW)
  },
)

test.each(ADDRESSES.map((_, puts) => puts))(
  'an update whose worker is ended after %i of its files were kept leaves the build that is there',
  async (puts) => {
    world.putsLeft = puts
    const cut = await workerOf(world, NEW)
    const install = cut.install()
    await Promise.race([install, new Promise((resolve) => setTimeout(resolve, 20))])
    await isWhole(old, OLD)

    world.putsLeft = Infinity
    const newer = await workerOf(world, NEW)
    await newer.install()
    await isWhole(old, OLD)
    await newer.activate()
    await isWhole(newer, NEW)
  },
)

test('a page of the build before finds its chunks until it is left, though a newer one has taken over', async () => {
  const leave = page('/assets/index-1.js')
  const newer = await takenOver(NEW)
  world.online = false
  expect(await newer.get('/assets/step-1.js')).toBe('step 1')
  page('/assets/index-2.js')
  expect(await newer.get('/', 'navigate')).toBe('page 2')
  expect(await newer.get('/assets/step-1.js')).toBe('step 1')

  leave()
  expect(await newer.get('/', 'navigate')).toBe('page 2')
  expect([...world.kept.keys()]).toHaveLength(1)
  await isWhole(newer, NEW)
})

test('a build that waits stays whole while pages of the one before it are opened', async () => {
  const newer = await workerOf(world, NEW)
  await newer.install()
  expect(await old.get('/', 'navigate')).toBe('page 1')
  await newer.activate()
  await isWhole(newer, NEW)
})

test('a build that comes back waits whole, though its files were made before those of the one it follows', async () => {
  const leave = page('/assets/index-1.js')
  const newer = await takenOver(NEW)
  page('/assets/index-2.js')
  await newer.get('/', 'navigate') // the page starts anew; the one before is still there
  leave()

  world.served = OLD // the workshop is put back to the build before
  const back = await workerOf(world, OLD)
  await back.install()
  world.coming = true
  expect(await newer.get('/', 'navigate')).toBe('page 2')
  world.coming = false
  await back.activate()
  await isWhole(back, OLD)
})

test('what the page has fetched is not fetched again, and what never changes its name is asked for', async () => {
  await (await workerOf(world, NEW)).install()
  expect([...world.asked].sort()).toEqual([
    'default /assets/desk-2.js',
    'default /assets/index-2.js',
    'default /assets/step-2.js',
    'default /assets/zxing-1.wasm',
    'no-cache /',
    'no-cache /mark.svg',
  ])
  // What a mechanic does not open, and the largest, follow the others.
  expect(world.asked.slice(-2)).toEqual(['default /assets/desk-2.js', 'default /assets/zxing-1.wasm'])
})

test('what follows is not begun before all else is whole', async () => {
  world.fault = (asked) => (asked === '/assets/step-2.js' ? Promise.reject(new TypeError('no line')) : null)
  await expect((await workerOf(world, NEW)).install()).rejects.toThrow()
  expect(world.asked.filter((asked) => /desk|wasm/.test(asked))).toEqual([])
})

test("what is wrong in the browser's own cache is fetched past it", async () => {
  world.stale = { '/assets/step-2.js': '<h1>Welcome</h1>' }
  const newer = await takenOver(NEW)
  await isWhole(newer, NEW)
  expect(world.asked).toContain('reload /assets/step-2.js')
})

test('the API and what is not of the app are never answered', async () => {
  world.asked = []
  for (const address of ['/api/workshop', '/other']) expect(await old.get(address)).toBeNull()
  expect(await old.get('/api/workshop', 'navigate')).toBeNull()
  expect(world.asked).toEqual([])
})
