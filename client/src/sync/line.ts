/**
 * What a poor line asks for: patience that is measured by progress, and portions it can carry.
 *
 * At 2 kB/s a page of the ledger takes minutes; a fixed patience would end each try at the same place,
 * and nothing would ever get through. So a line is given up when it is silent, not when it is slow.
 */
import { BrokenOff, Offline } from './errors'

/** So long may nothing be heard. */
const SILENT_MS = 30_000
/** What is sent makes no sound: it is waited for as long as the poorest line would take, at 1 kB/s. */
const POOREST_BYTES_A_MS = 1

export class Patience {
  readonly #end = new AbortController()
  #timer: ReturnType<typeof setTimeout> | undefined

  constructor(bytesToSend: number) {
    this.#wait(SILENT_MS + bytesToSend / POOREST_BYTES_A_MS)
  }

  get signal(): AbortSignal {
    return this.#end.signal
  }

  heard(): void {
    this.#wait(SILENT_MS)
  }

  over(): void {
    clearTimeout(this.#timer)
  }

  #wait(ms: number): void {
    clearTimeout(this.#timer)
    this.#timer = setTimeout(() => this.#end.abort(), ms)
  }
}

/**
 * The whole answer, however slowly it comes.
 *
 * @throws {BrokenOff} with what came of it.
 */
export async function wholly(answer: Response, patience: Patience): Promise<Response> {
  if (!answer.body) return answer
  const pieces: Uint8Array<ArrayBuffer>[] = []
  const reader = answer.body.getReader()
  try {
    for (let piece = await reader.read(); !piece.done; piece = await reader.read()) {
      patience.heard()
      pieces.push(piece.value)
    }
  } catch (cause) {
    throw new BrokenOff(answer, joined(pieces), cause)
  }
  // Chromium hands a stream to read for a 204 as well, and lets nobody make one with a body, not even an empty one.
  return new Response(pieces.length > 0 ? new Blob(pieces) : null, {
    status: answer.status,
    headers: answer.headers,
  })
}

export function joined(pieces: Uint8Array[]): Uint8Array<ArrayBuffer> {
  const all = new Uint8Array(pieces.reduce((sum, { length }) => sum + length, 0))
  let at = 0
  for (const piece of pieces) {
    all.set(piece, at)
    at += piece.length
  }
  return all
}

/**
 * A portion that took longer was too large for this line, one that took less may have been too small: at
 * ten seconds there and back most of a short one is waiting, and a phone sends nothing meanwhile.
 */
const LONG_MS = 90_000
const SHORT_MS = 30_000

/** How much to move at once: less after the line broke or was slow, more while it holds. */
export class Portion {
  #size: number

  constructor(
    private readonly least: number,
    private readonly most: number,
    first: number,
  ) {
    this.#size = first
  }

  async move<T>(act: (size: number) => Promise<T>): Promise<T> {
    const begun = performance.now()
    try {
      const moved = await act(this.#size)
      const took = performance.now() - begun
      if (took < SHORT_MS) this.#become(this.#size * 2)
      if (took > LONG_MS) this.#become(this.#size / 2)
      return moved
    } catch (error) {
      if (error instanceof Offline) this.#become(this.#size / 4)
      throw error
    }
  }

  #become(size: number): void {
    this.#size = Math.max(this.least, Math.min(this.most, Math.floor(size)))
  }
}
