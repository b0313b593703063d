/**
 * What outlives a loss: the last place this phone wrote at, kept where entries are not.
 *
 * The cache of a worker is in other files than IndexedDB; a cookie is not thrown away together with
 * an origin's storage when a phone is short of room. Neither proves anything: they only tell that
 * something is missing that had been here.
 */
import { painted } from './painted'
import { patient } from './patience'

export interface Last {
  device: string
  seq: number
  /** Id of that entry. */
  head: string
  job: string | null
  /** How many entries had not been received then. */
  waiting: number
  workshopName: string
}

export interface Canary {
  read(): Promise<Last | null>
  write(last: Last): Promise<void>
}

const CACHE = 'two-turns last'
const ADDRESS = '/last'
const COOKIE = 'two-turns-last'
/** The longest that browsers grant a cookie: 400 days (RFC 6265bis, section 5.5). */
const LONGEST_S = 400 * 86_400

/** Plain http is the loopback's alone, and not every browser takes a Secure cookie there. */
const overHttps = () => (location.protocol === 'https:' ? '; Secure' : '')

export const browserCanary: Canary = {
  async read() {
    const kept = [inCookie(), await patient(inCache()).catch(() => null)].filter((last) => last !== null)
    return kept.sort((one, other) => one.seq - other.seq).at(-1) ?? null
  },
  async write(last) {
    await painted() // a cookie is written while the page's own thread waits: the mark of the act comes first
    const text = encodeURIComponent(JSON.stringify(last))
    // biome-ignore lint/suspicious/noDocumentCookie: the Cookie Store API is not in every browser, and a cookie is meant
    document.cookie = `${COOKIE}=${text}; Max-Age=${LONGEST_S}; Path=/; SameSite=Strict${overHttps()}`
    await patient(caches.open(CACHE).then((cache) => cache.put(ADDRESS, new Response(JSON.stringify(last)))))
  },
}

function inCookie(): Last | null {
  const [, text] = new RegExp(`(?:^|; )${COOKIE}=([^;]*)`).exec(document.cookie) ?? []
  return text ? lastFrom(decodeURIComponent(text)) : null
}

async function inCache(): Promise<Last | null> {
  const kept = await (await caches.open(CACHE)).match(ADDRESS)
  return kept ? lastFrom(await kept.text()) : null
}

/** Anybody may have written there: what is no canary says nothing. */
function lastFrom(text: string): Last | null {
  try {
    const last = JSON.parse(text) as Last
    return typeof last.device === 'string' && Number.isSafeInteger(last.seq) ? last : null
  } catch {
    return null
  }
}
