/**
 * Requests to the workshop. An answer counts only if it is JSON (or the bytes asked for) from this
 * very origin; a portal answers 200 with a page of its own, and `navigator.onLine` knows nothing.
 */
import type { Problem } from '../ledger/answers'
import { EDITION } from '../ledger/bodies'
import { Offline, Refused } from './errors'
import { Patience, wholly } from './line'

export type Fetch = (address: string, init?: RequestInit) => Promise<Response>

export interface Asked {
  method?: string
  json?: unknown
  body?: ArrayBuffer
  headers?: Record<string, string>
  /** What the answer must name: JSON that does not came from somebody in between. */
  members?: readonly string[]
}

export class Api {
  /** `seen`: the newest head of the ledger this phone has seen, `SIZE ROOT`; each request names it. */
  constructor(
    private readonly fetch: Fetch,
    private readonly seen: () => Promise<string | null>,
  ) {}

  /** The JSON of a 2xx answer. */
  async json<T>(path: string, asked: Asked = {}): Promise<T> {
    return this.read<T>(await this.answer(path, asked), asked.members)
  }

  /** The JSON of an answer, in the shape the contract gives it: it names all of `members`. */
  async read<T>(answer: Response, members: readonly string[] = []): Promise<T> {
    const said = await readJson(answer)
    const isOurs = members.every((name) => typeof said === 'object' && said !== null && name in said)
    if (!isOurs) throw new Offline('got JSON of another form')
    return said as T
  }

  /** The whole answer, once it is known to be the workshop's; 304 passes. */
  async answer(path: string, asked: Asked = {}): Promise<Response> {
    const answer = await this.#ask(path, asked)
    if (answer.ok || answer.status === 304) return answer
    throw await refusal(answer)
  }

  /** The bytes of a 2xx answer, with the type the workshop gave them. */
  async bytes(path: string, asked: Asked = {}): Promise<{ bytes: ArrayBuffer; type: string; name: string }> {
    const answer = await this.answer(path, asked)
    const type = answer.headers.get('Content-Type') ?? ''
    if (type.startsWith('text/html')) throw new Offline('got a page instead of bytes') // a portal's: the API has none
    return { bytes: await answer.arrayBuffer(), type, name: nameIn(answer.headers) }
  }

  async #ask(path: string, asked: Asked): Promise<Response> {
    const headers = new Headers(asked.headers)
    const seen = await this.seen()
    if (seen) headers.set('Two-Turns-Seen', seen)
    headers.set('Two-Turns-Reads', String(EDITION))
    if (asked.json !== undefined) headers.set('Content-Type', 'application/json')
    const body = asked.json === undefined ? asked.body : JSON.stringify(asked.json)
    const patience = new Patience(typeof body === 'string' ? body.length : (body?.byteLength ?? 0))
    try {
      const answer = await this.fetch(path, {
        method: asked.method ?? 'GET',
        headers,
        ...(body === undefined ? {} : { body }),
        cache: 'no-store',
        credentials: 'same-origin',
        redirect: 'error',
        signal: patience.signal,
      })
      return await wholly(answer, patience)
    } catch (cause) {
      return brokenOff(cause)
    } finally {
      patience.over()
    }
  }
}

/** Read JSON that says it is JSON; anything else came from somebody in between. */
async function readJson(answer: Response): Promise<unknown> {
  const type = answer.headers.get('Content-Type') ?? ''
  if (!type.startsWith('application/json')) throw new Offline(`got ${type || 'no type'} instead of JSON`)
  return answer.json().catch(brokenOff)
}

function brokenOff(cause: unknown): never {
  if (cause instanceof Offline) throw cause
  throw new Offline('no whole answer came back', { cause })
}

/** A refusal of the workshop's has a code; a gateway's 502 has none, and is *offline*. */
async function refusal(answer: Response): Promise<Error> {
  const said = await readJson(answer).catch(() => null)
  if (isProblem(said))
    return new Refused(answer.status, { code: said.code, message: said.message, hint: said.hint })
  return new Offline(`got ${answer.status} that is not the workshop's`)
}

function isProblem(said: unknown): said is Problem {
  if (typeof said !== 'object' || said === null) return false
  const { code, message, hint } = said as Record<string, unknown>
  return [code, message, hint].every((part) => typeof part === 'string')
}

/** The name of a file in an answer (RFC 6266, section 4.3), the extended form of RFC 8187 first; empty where there is none. */
function nameIn(headers: Headers): string {
  const said = headers.get('Content-Disposition') ?? ''
  const wide = /filename\*=UTF-8''([^;]+)/i.exec(said)?.[1]
  if (wide !== undefined) return decodeURIComponent(wide)
  return /filename="?([^";]+)"?/i.exec(said)?.[1] ?? ''
}
