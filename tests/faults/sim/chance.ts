/** Chance from a seed: mulberry32 (public domain, Tommy Ettinger), and what is drawn from it. */
export class Chance {
  #state: number

  constructor(seed: number) {
    this.#state = (seed ^ 0x9e3779b9) >>> 0
    for (let n = 0; n < 8; n++) this.next()
  }

  /** 0 up to 1. */
  next(): number {
    this.#state = (this.#state + 0x6d2b79f5) >>> 0
    let t = this.#state
    t = Math.imul(t ^ (t >>> 15), t | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }

  /** A whole number from `low` to `high`, both included. */
  whole(low: number, high: number): number {
    return low + Math.floor(this.next() * (high - low + 1))
  }

  is(share: number): boolean {
    return this.next() < share
  }

  of<T>(things: readonly T[]): T {
    return things[this.whole(0, things.length - 1)] as T
  }

  /** One of several, each as likely as its weight says. */
  weighed<T extends string>(weights: Readonly<Record<T, number>>): T {
    const all = Object.entries(weights) as [T, number][]
    let left = this.next() * all.reduce((sum, [, weight]) => sum + weight, 0)
    for (const [thing, weight] of all) if ((left -= weight) < 0) return thing
    return (all.at(-1) as [T, number])[0]
  }

  bytes(count: number): Uint8Array<ArrayBuffer> {
    const bytes = new Uint8Array(count)
    this.fill(bytes)
    return bytes
  }

  /** Large ones are repeated: nothing of ours packs. */
  fill(into: Uint8Array): void {
    const own = Math.min(into.length, 32)
    for (let at = 0; at < own; at++) into[at] = this.whole(0, 255)
    for (let at = own; at < into.length; at *= 2) into.copyWithin(at, 0, Math.min(at, into.length - at))
  }
}
