/**
 * SHA-256 (FIPS 180-4) of what comes in pieces: WebCrypto takes all bytes at once, and a bag may have more than fit into
 * memory. Slower than the browser's own by some ten times, so it is for large files alone.
 */
import { hex } from '../ledger/base64url'

const BLOCK = 64

/** The first 32 bits of the fractional parts of roots of primes (section 4.2.2, 5.3.3): computed, not copied. */
const PRIMES = primes(64)
const K = Uint32Array.from(PRIMES, (prime) => fraction(Math.cbrt(prime)))
const BEGIN = Uint32Array.from(PRIMES.slice(0, 8), (prime) => fraction(Math.sqrt(prime)))

export class Sha256 {
  readonly #state = Uint32Array.from(BEGIN)
  readonly #words = new Uint32Array(BLOCK)
  readonly #rest = new Uint8Array(BLOCK)
  #size = 0

  /** Take in the next bytes. */
  add(bytes: Uint8Array): void {
    let at = 0
    const held = this.#size % BLOCK
    this.#size += bytes.length
    if (held > 0) {
      const part = bytes.subarray(0, BLOCK - held)
      this.#rest.set(part, held)
      at = part.length
      if (held + at < BLOCK) return
      this.#take(this.#rest, 0)
    }
    for (; at + BLOCK <= bytes.length; at += BLOCK) this.#take(bytes, at)
    this.#rest.set(bytes.subarray(at))
  }

  /** The hash of all that was taken in, in hex. Nothing more can be added after it. */
  end(): string {
    const size = this.#size
    const padding = new Uint8Array((size % BLOCK < 56 ? 56 : 120) - (size % BLOCK) + 8)
    padding[0] = 0x80
    const view = new DataView(padding.buffer)
    view.setUint32(padding.length - 8, Math.floor(size / 2 ** 29))
    view.setUint32(padding.length - 4, size * 8)
    this.add(padding)
    const out = new DataView(new ArrayBuffer(32))
    for (const [place, word] of this.#state.entries()) out.setUint32(place * 4, word)
    return hex(new Uint8Array(out.buffer))
  }

  #take(bytes: Uint8Array, at: number): void {
    const w = this.#words
    for (let i = 0; i < 16; i++, at += 4)
      w[i] = (bytes[at]! << 24) | (bytes[at + 1]! << 16) | (bytes[at + 2]! << 8) | bytes[at + 3]!
    for (let i = 16; i < BLOCK; i++) {
      const [x, y] = [w[i - 15]!, w[i - 2]!]
      const s0 = turn(x, 7) ^ turn(x, 18) ^ (x >>> 3)
      const s1 = turn(y, 17) ^ turn(y, 19) ^ (y >>> 10)
      w[i] = w[i - 16]! + s0 + w[i - 7]! + s1
    }
    let [a, b, c, d, e, f, g, h] = this.#state as unknown as number[] as [
      number,
      number,
      number,
      number,
      number,
      number,
      number,
      number,
    ]
    for (let i = 0; i < BLOCK; i++) {
      const s1 = turn(e, 6) ^ turn(e, 11) ^ turn(e, 25)
      const t1 = (h + s1 + ((e & f) ^ (~e & g)) + K[i]! + w[i]!) | 0
      const s0 = turn(a, 2) ^ turn(a, 13) ^ turn(a, 22)
      const t2 = (s0 + ((a & b) ^ (a & c) ^ (b & c))) | 0
      h = g
      g = f
      f = e
      e = (d + t1) | 0
      d = c
      c = b
      b = a
      a = (t1 + t2) | 0
    }
    const next = [a, b, c, d, e, f, g, h]
    next.forEach((word, place) => {
      this.#state[place] = this.#state[place]! + word
    })
  }
}

const turn = (word: number, by: number) => (word >>> by) | (word << (32 - by))

function fraction(root: number): number {
  return Math.floor((root - Math.floor(root)) * 2 ** 32)
}

function primes(count: number): number[] {
  const found: number[] = []
  for (let n = 2; found.length < count; n++) if (found.every((prime) => n % prime > 0)) found.push(n)
  return found
}
