/**
 * What lies between a phone and the workshop. A request may be lost, doubled, late, cut, or answered
 * by somebody else; the workshop itself is asked the moment a request reaches it.
 */
import { createHash } from 'node:crypto'
import { never, type Gate } from './disk'
import { Broken, type PoorLine } from './poor'
import { call, type Answered } from './server'
import type { World } from './world'

/** How a line is at a time, as shares of what happens to a request on it. */
export type Fate =
  | 'through'
  | 'request lost'
  | 'answer lost'
  | 'doubled'
  | 'late'
  | 'cut'
  | 'answer cut'
  | 'portal'
  | 'gateway'
  | 'refused'
  | 'impostor'

export type Weather = 'clear' | 'slow' | 'flapping' | 'bad' | 'portal' | 'gateway' | 'down' | 'impostor'

const none = {
  through: 0,
  'request lost': 0,
  'answer lost': 0,
  doubled: 0,
  late: 0,
  cut: 0,
  'answer cut': 0,
  portal: 0,
  gateway: 0,
  refused: 0,
  impostor: 0,
}
const FATES: Record<Weather, Record<Fate, number>> = {
  clear: { ...none, through: 1 },
  slow: { ...none, through: 6, late: 1, doubled: 1 },
  flapping: { ...none, through: 5, 'request lost': 2, 'answer lost': 2, cut: 1 },
  bad: {
    ...none,
    through: 8,
    'request lost': 2,
    'answer lost': 3,
    doubled: 3,
    late: 2,
    cut: 2,
    'answer cut': 2,
    portal: 1,
    gateway: 1,
    refused: 1,
  },
  portal: { ...none, portal: 1 },
  gateway: { ...none, through: 1, gateway: 2, refused: 2 },
  down: { ...none, 'request lost': 1 },
  impostor: { ...none, through: 2, impostor: 2 },
}

const GATEWAY = [302, 401, 403, 404, 413, 431, 500, 502, 503, 504, 507, 511]
/** What a workshop itself might say, of a request that has no fault. */
const REFUSALS: [number, string][] = [
  [401, 'not-signed-in'],
  [403, 'foreign-site'],
  [413, 'too-large'],
  [429, 'too-many'],
  [500, 'fault'],
  [507, 'workshop-full'],
]

/** By then the phone has given up, and may have asked anew. */
const LATE_MS = 45_000

interface Asked {
  method: string
  path: string
  headers: Record<string, string>
  text: string
  /** Base64 of a body of bytes. */
  bytes: string | null
  length: number
}

export class Line {
  weather: Weather = 'clear'
  /** A batch with the entry of this signature is refused: nobody knows why. */
  poison: string | null = null
  cookie = ''
  /** In the place of the weather: how bytes move. */
  poor: PoorLine | null = null

  constructor(
    private readonly world: World,
    private readonly who: string,
  ) {}

  copyTo(other: Line): void {
    Object.assign(other, { weather: this.weather, poison: this.poison, cookie: this.cookie })
  }

  fetchFor(gate: Gate): (path: string, init?: RequestInit) => Promise<Response> {
    return async (path, init = {}) => {
      const asked = this.#read(path, init)
      if (!gate.pass(`ask ${asked.method} ${path}`)) return never()
      const carried = this.poor ? this.#carryPoorly(asked, this.poor, init.signal) : this.#carry(asked)
      const answer = await Promise.race([carried, givenUp(init.signal)])
      // Nothing is heard by a window that died meanwhile.
      if (!gate.pass(`hear ${asked.method} ${path}`)) return never()
      const set = answer.headers.get('set-cookie')
      if (set !== null) this.cookie = set.split(';')[0] as string
      return answer
    }
  }

  async #carry(asked: Asked): Promise<Response> {
    const { chance } = this.world
    const fate = chance.weighed(FATES[this.weather])
    if (fate !== 'through') this.world.harm(this.who, `line: ${fate}`, `${asked.method} ${asked.path}`)
    const delay = () =>
      this.world.sleep(this.weather === 'slow' ? chance.whole(1000, 9000) : chance.whole(5, 400))
    await delay()
    switch (fate) {
      case 'through':
        break
      case 'request lost':
        throw new TypeError('connection reset')
      case 'portal':
        return told(200, { 'Content-Type': 'text/html' }, '<h1>Accept our terms</h1>')
      case 'gateway':
        return told(
          chance.of(GATEWAY),
          { 'Content-Type': chance.of(['text/html', 'application/json']) },
          '{"error":"upstream"}',
        )
      case 'refused': {
        const [status, code] = chance.of(REFUSALS)
        return problem(status, code)
      }
      case 'impostor':
        return impostor(asked)
      case 'late':
        this.world.after(LATE_MS + chance.whole(0, 60_000), () => this.#reach(asked, null))
        return never()
      case 'cut':
        if (asked.length) this.#reach(asked, chance.whole(0, asked.length - 1))
        throw new TypeError('connection reset')
      case 'doubled':
        this.world.after(chance.whole(1, 5000), () => this.#reach(asked, null))
        break
    }
    const answer = this.#reach(asked, null)
    await delay()
    if (fate === 'answer lost') throw new TypeError('connection reset')
    return fate === 'answer cut' ? cutShort(answer) : answer
  }

  /** Byte by byte; of what breaks off the workshop has what came, and hears no more. */
  async #carryPoorly(
    asked: Asked,
    line: PoorLine,
    signal: AbortSignal | null | undefined,
  ): Promise<Response> {
    const head = headBytes(`${asked.method} ${asked.path}`, asked.headers)
    try {
      await line.send(head + asked.length)
    } catch (error) {
      if (asked.length && error instanceof Broken && error.moved >= head)
        this.#reach(asked, Math.min(error.moved - head, asked.length - 1))
      throw error
    }
    return arriving(this.#reach(asked, null), line, signal)
  }

  /** The request arrives. */
  #reach(asked: Asked, cut: number | null): Response {
    if (this.poison && asked.path === '/api/entries' && asked.text.includes(this.poison))
      return problem(422, 'invalid')
    const { world } = this
    const answered = call<Answered>({ op: 'ask', now: world.nowMs, ...asked, cut })
    if (answered.status >= 500 && answered.status !== 507)
      world.wrong(this.who, `the workshop broke: ${asked.method} ${asked.path} got ${answered.status}`)
    return told(answered.status, Object.fromEntries(answered.headers), Buffer.from(answered.body, 'base64'))
  }

  #read(path: string, init: RequestInit): Asked {
    const body = init.body as string | ArrayBuffer | undefined
    const isText = typeof body === 'string'
    return {
      method: init.method ?? 'GET',
      path,
      headers: {
        ...Object.fromEntries(new Headers(init.headers)),
        ...(this.cookie ? { cookie: this.cookie } : {}),
      },
      text: isText ? body : '',
      bytes: body instanceof ArrayBuffer ? Buffer.from(body).toString('base64') : null,
      length: isText ? Buffer.byteLength(body) : (body?.byteLength ?? 0),
    }
  }
}

/** As much of a Response as is asked for, without Node's streams: they take turns of their own. */
function told(status: number, headers: Record<string, string>, body: string | Uint8Array): Response {
  const bytes = Buffer.from(body as string)
  return {
    ok: status >= 200 && status < 300,
    status,
    headers: new Headers(headers),
    json: async () => JSON.parse(bytes.toString()) as unknown,
    arrayBuffer: async () => new Uint8Array(bytes).buffer,
  } as Response
}

/** What a browser adds to each request of its own, and a server to each answer: some hundred bytes (measured: 250 to 400). */
const OF_THE_BROWSER_BYTES = 300

const headBytes = (first: string, headers: Record<string, string>) =>
  Object.entries(headers).reduce(
    (sum, [name, value]) => sum + name.length + value.length + 4,
    first.length + OF_THE_BROWSER_BYTES,
  )

/** Resolves when the answer's head is here; its body is read as it comes. */
async function arriving(
  answer: Response,
  line: PoorLine,
  signal: AbortSignal | null | undefined,
): Promise<Response> {
  const bytes = new Uint8Array(await answer.arrayBuffer())
  const head = headBytes('HTTP/1.1 200 OK', Object.fromEntries(answer.headers))
  let [read, came] = [0, 0]
  let failure: unknown = null
  let isOver = false
  let stir = () => undefined as void
  const more = () => new Promise<void>((resolve) => (stir = resolve))
  const cameThrough = (moved: number) => {
    came = moved - head
    stir()
  }
  line.hear(head + bytes.length, cameThrough).then(
    () => ((isOver = true), stir()),
    (error: unknown) => ((failure = error), stir()),
  )
  signal?.addEventListener('abort', () => ((failure ??= new DOMException('no answer', 'AbortError')), stir()))
  const reader = {
    async read() {
      while (came <= read && !isOver && !failure) await more()
      if (came > read) {
        const value = bytes.slice(read, came)
        read = came
        return { done: false, value }
      }
      if (failure) throw failure
      return { done: true, value: undefined }
    },
  }
  while (came < 0 && !failure) await more()
  if (came < 0) throw failure
  return {
    ok: answer.ok,
    status: answer.status,
    headers: answer.headers,
    body: { getReader: () => reader },
  } as unknown as Response
}

const givenUp = (signal: AbortSignal | null | undefined) =>
  new Promise<never>((_, reject) => {
    signal?.addEventListener('abort', () => reject(new DOMException('no answer', 'AbortError')))
  })

const problem = (status: number, code: string) =>
  told(
    status,
    { 'Content-Type': 'application/json' },
    JSON.stringify({ code, message: `refused: ${code}`, hint: 'Do something else.' }),
  )

function cutShort(answer: Response): Response {
  const broken = async () => {
    throw new TypeError('terminated')
  }
  const body = { getReader: () => ({ read: broken }) }
  return { ok: answer.ok, status: answer.status, headers: answer.headers, body } as unknown as Response
}

/** Somebody who knows the form of our answers and has no key: all that was sent is received, he says. */
function impostor(asked: Asked): Response {
  if (asked.path.startsWith('/api/uploads')) {
    const length =
      asked.headers['upload-length'] ?? String(Number(asked.headers['upload-offset'] ?? 0) + asked.length)
    return told(
      asked.method === 'POST' ? 201 : 204,
      { 'Tus-Resumable': '1.0.0', 'Upload-Offset': length },
      '',
    )
  }
  if (asked.path !== '/api/entries') return told(200, { 'Content-Type': 'application/json' }, '{}')
  const { lines } = JSON.parse(asked.text) as { lines: string[] }
  const indices = Object.fromEntries(lines.map((line, n) => [idOf(line), n]))
  const checkpoint = `two-turns/nobody\n${lines.length}\nAAAA\n\n\u2014 two-turns/nobody AAAA\n`
  return told(
    200,
    { 'Content-Type': 'application/json' },
    JSON.stringify({ checkpoint, indices, stamps: {}, proof: [], kept: [], refused: [], rewound: false }),
  )
}

function idOf(line: string): string {
  return createHash('sha256')
    .update(line.slice(line.indexOf(' ') + 1))
    .digest('hex')
}
