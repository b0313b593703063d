/** Sets of small numbers as bits in words: a fold asks hundreds of thousands of times whether two of them meet. */

export type Bits = Uint32Array

export const noBits = (size: number): Bits => new Uint32Array((size + 31) >>> 5)

/** A copy with room for more. */
export function copied(bits: Bits, size: number): Bits {
  const copy = noBits(size)
  copy.set(bits)
  return copy
}

export function allBits(size: number): Bits {
  const all = noBits(size)
  for (let n = 0; n < size; n++) add(all, n)
  return all
}

export const has = (bits: Bits, n: number): boolean => ((bits[n >>> 5]! >>> (n & 31)) & 1) === 1

export function add(bits: Bits, n: number): void {
  bits[n >>> 5]! |= 1 << (n & 31)
}

export function addAll(bits: Bits, others: Bits): void {
  for (let w = 0; w < bits.length; w++) bits[w]! |= others[w]!
}

export function or(a: Bits, b: Bits): Bits {
  const both = a.slice()
  addAll(both, b)
  return both
}

export function and(a: Bits, b: Bits): Bits {
  const both = new Uint32Array(a.length)
  for (let w = 0; w < both.length; w++) both[w] = a[w]! & b[w]!
  return both
}

/** Those of `a` that are not in `b`. */
export function less(a: Bits, b: Bits): Bits {
  const rest = new Uint32Array(a.length)
  for (let w = 0; w < rest.length; w++) rest[w] = a[w]! & ~b[w]!
  return rest
}

export const isEmpty = (bits: Bits): boolean => !meet(bits, bits)

export function meet(a: Bits, b: Bits): boolean {
  for (let w = 0; w < a.length; w++) if (a[w]! & b[w]!) return true
  return false
}

/** Whether something is in all three. */
export function meet3(a: Bits, b: Bits, c: Bits): boolean {
  for (let w = 0; w < a.length; w++) if (a[w]! & b[w]! & c[w]!) return true
  return false
}

/** Whether something is in `a` and `b` that is not in `but`. */
export function meetBut(a: Bits, b: Bits, but: Bits): boolean {
  for (let w = 0; w < a.length; w++) if (a[w]! & b[w]! & ~but[w]!) return true
  return false
}

/** The members, lowest first. */
export function members(bits: Bits): number[] {
  const found: number[] = []
  for (let w = 0; w < bits.length; w++) {
    for (let word = bits[w]!; word !== 0; word &= word - 1) {
      found.push((w << 5) + 31 - Math.clz32(word & -word))
    }
  }
  return found
}
