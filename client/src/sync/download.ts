/**
 * Bytes named by their hash come in parts (RFC 9110, section 14), and each part is kept on the phone.
 * In memory would not do: on a line so slow that this matters, a phone ends the page long before all
 * has come. What comes of a part that breaks off is kept, too; only the hash of the whole says that it is right.
 */
import { blobId } from '../ledger/private'
import type { Downloads, Half } from '../store/downloads'
import type { Api } from './api'
import { BrokenOff, Offline, Refused } from './errors'
import { joined, Portion } from './line'

const FIRST_PART_BYTES = 64 * 2 ** 10
const LEAST_PART_BYTES = 8 * 2 ** 10
const MOST_PART_BYTES = 2 * 2 ** 20

/** Whole bytes that do not hash to their name: damage, at the workshop or in between. */
export class NotAsNamed extends Error {}

/** Not the part that was asked for: somebody in between changes what is sent. */
export class NotAsAsked extends Error {}

interface Part {
  from: number
  bytes: Uint8Array<ArrayBuffer>
  /** Length of the whole; null while it is not known. */
  total: number | null
  /** It did not break off. */
  isWhole: boolean
}

const nothing: Half = { bytes: new Uint8Array(), total: null }

export class Download {
  readonly #part = new Portion(LEAST_PART_BYTES, MOST_PART_BYTES, FIRST_PART_BYTES)

  constructor(
    private readonly api: Api,
    private readonly downloads: Downloads,
  ) {}

  /**
   * All bytes of this name, once they hash to it.
   *
   * @throws {Offline} when the line broke: the next call goes on from there.
   * @throws {NotAsNamed} or {NotAsAsked}: what had come is thrown away.
   */
  async whole(path: string, sha: string): Promise<ArrayBuffer> {
    const half = await this.downloads.half(sha)
    const bytes = await this.#rest(path, sha, half ?? nothing).catch(async (error: unknown) => {
      if (error instanceof NotAsAsked) await this.downloads.drop(sha)
      throw error
    })
    if ((await blobId(bytes)) === sha) return bytes.buffer
    await this.downloads.drop(sha)
    if (!half) throw new NotAsNamed(path)
    return this.whole(path, sha) // what lay here was to blame, for all we know: once more from the first byte
  }

  async #rest(path: string, sha: string, begun: Half): Promise<Uint8Array<ArrayBuffer>> {
    let half = begun
    while (half.total === null || half.bytes.length < half.total) {
      half = await this.#part.move((size) => this.#next(path, sha, half, size))
    }
    return half.bytes
  }

  async #next(path: string, sha: string, half: Half, size: number): Promise<Half> {
    const from = half.bytes.length
    const to = from + size - 1
    try {
      const answer = await this.api.answer(path, {
        headers: { Range: `bytes=${from}-${to}`, 'If-Range': `"${sha}"` },
      })
      const bytes = new Uint8Array(await answer.arrayBuffer())
      return await this.#keep(sha, half, partOf(answer, bytes, from, to, true))
    } catch (error) {
      if (error instanceof BrokenOff && error.answer.ok)
        await this.#keep(sha, half, partOf(error.answer, error.bytes, from, to, false))
      if (error instanceof Refused && error.status === 416)
        throw new NotAsAsked(`${path} has no byte ${from}`)
      throw error
    }
  }

  /** What the last part makes whole is kept by whoever asked for it. */
  async #keep(sha: string, half: Half, { from, bytes, total, isWhole }: Part): Promise<Half> {
    if (total !== null && half.total !== null && total !== half.total) {
      throw new NotAsAsked(`${sha.slice(0, 12)} had ${half.total} bytes, now ${total}`)
    }
    const fresh = bytes.subarray(half.bytes.length - from) // a proxy that knows no ranges begins at the first byte
    const grown = {
      bytes: bytes.length === total ? bytes : joined([half.bytes, fresh]),
      total: total ?? half.total,
    }
    const isLast = isWhole && grown.bytes.length === grown.total
    if (fresh.length && !isLast) {
      await this.downloads.keepPart(sha, {
        from: half.bytes.length,
        bytes: fresh.slice(),
        total: grown.total,
      })
    }
    return grown
  }
}

/** The part that an answer brings, if it is what was asked for. Of one that broke off there is less than it says. */
function partOf(
  answer: Response,
  bytes: Uint8Array<ArrayBuffer>,
  from: number,
  to: number,
  isWhole: boolean,
): Part {
  if (answer.headers.get('Content-Type')?.startsWith('text/html'))
    throw new Offline('got a page instead of bytes')
  if (answer.status === 200) return { from: 0, bytes, total: isWhole ? bytes.length : null, isWhole }
  const said = answer.headers.get('Content-Range') ?? 'no Content-Range'
  const [first = NaN, last = NaN, total = NaN] = (/^bytes (\d{1,9})-(\d{1,9})\/(\d{1,9})$/.exec(said) ?? [])
    .slice(1)
    .map(Number)
  const length = last - first + 1
  const isAsked = answer.status === 206 && first === from && length > 0 && last <= to && last < total
  if (!isAsked || (isWhole ? bytes.length !== length : bytes.length > length)) {
    throw new NotAsAsked(
      `asked for bytes ${from}-${to}, got ${answer.status}, ${said} and ${bytes.length} bytes`,
    )
  }
  return { from, bytes, total, isWhole }
}
