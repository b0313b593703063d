/**
 * Verifies proofs of the Merkle tree over a ledger's records (RFC 9162 sections 2.1.3.2 and 2.1.4.2).
 * Twin of the functions in tree.py. A leaf here is always the leaf's hash, 32 bytes.
 */
import { sha256 } from './keys'

type Hash = Uint8Array<ArrayBuffer>

/** The leaf of a record. */
export function leafHash(record: Uint8Array): Promise<Hash> {
  const prefixed = new Uint8Array(1 + record.length)
  prefixed.set(record, 1)
  return sha256(prefixed)
}

/** Whether the path leads from the leaf at `index` to the root of `size` leaves. */
export async function verifyInclusion(
  leaf: Hash,
  index: number,
  size: number,
  path: readonly Hash[],
  root: Hash,
): Promise<boolean> {
  if (index < 0 || index >= size) return false
  let [place, last, node] = [index, size - 1, leaf]
  for (const sibling of path) {
    if (last === 0) return false
    if (place % 2 === 1 || place === last) {
      node = await nodeHash(sibling, node)
      while (place % 2 === 0 && place !== 0) [place, last] = up(place, last)
    } else {
      node = await nodeHash(node, sibling)
    }
    ;[place, last] = up(place, last)
  }
  return last === 0 && isSame(node, root)
}

/** Whether a proof of several leaves at once, by index, leads to the root: `inclusion_of` in tree.py. */
export async function verifyInclusionOf(
  leaves: ReadonlyMap<number, Hash>,
  size: number,
  proof: readonly Hash[],
  root: Hash,
): Promise<boolean> {
  const indices = [...leaves.keys()].sort((one, other) => one - other)
  if (!indices.length || !indices.every((index) => index >= 0 && index < size)) return false
  const rest = proof[Symbol.iterator]()
  const found = await hashOver(leaves, indices, rest, 0, size)
  return found !== null && isSame(found, root) && rest.next().done === true
}

/** The root over the leaves from `start` to before `end`; null if the proof is too short for it. */
async function hashOver(
  leaves: ReadonlyMap<number, Hash>,
  wanted: readonly number[],
  rest: Iterator<Hash>,
  start: number,
  end: number,
): Promise<Hash | null> {
  if (!wanted.length) return rest.next().value ?? null
  if (end - start === 1) return leaves.get(start) ?? null
  const split = start + largestPowerBelow(end - start)
  const left = await hashOver(
    leaves,
    wanted.filter((index) => index < split),
    rest,
    start,
    split,
  )
  const right = await hashOver(
    leaves,
    wanted.filter((index) => index >= split),
    rest,
    split,
    end,
  )
  return left && right && nodeHash(left, right)
}

/** Whether the tree of `now` leaves starts with that of `before` leaves. */
export async function verifyConsistency(
  before: number,
  now: number,
  rootBefore: Hash,
  rootNow: Hash,
  path: readonly Hash[],
): Promise<boolean> {
  if (before === now) return path.length === 0 && isSame(rootBefore, rootNow)
  if (before === 0) return path.length === 0 && isSame(rootBefore, await sha256(new Uint8Array()))
  // A complete subtree is its own first node, and not sent: the asker has it as the root before.
  const [first, ...rest] = isPowerOfTwo(before) ? [rootBefore, ...path] : path
  if (before < 0 || before > now || path.length === 0 || first === undefined) return false
  let [place, last] = [before - 1, now - 1]
  while (place % 2 === 1) [place, last] = up(place, last)
  let [nodeBefore, nodeNow] = [first, first]
  for (const sibling of rest) {
    if (last === 0) return false
    if (place % 2 === 1 || place === last) {
      nodeBefore = await nodeHash(sibling, nodeBefore)
      nodeNow = await nodeHash(sibling, nodeNow)
      while (place % 2 === 0 && place !== 0) [place, last] = up(place, last)
    } else {
      nodeNow = await nodeHash(nodeNow, sibling)
    }
    ;[place, last] = up(place, last)
  }
  return last === 0 && isSame(nodeBefore, rootBefore) && isSame(nodeNow, rootNow)
}

function nodeHash(left: Hash, right: Hash): Promise<Hash> {
  return sha256(new Uint8Array([1, ...left, ...right]))
}

// Not >>: that would cut an index at 31 bits.
function up(place: number, last: number): [number, number] {
  return [Math.floor(place / 2), Math.floor(last / 2)]
}

function largestPowerBelow(n: number): number {
  let power = 1
  while (power * 2 < n) power *= 2
  return power
}

function isPowerOfTwo(n: number): boolean {
  let odd = n
  while (odd > 1 && odd % 2 === 0) odd /= 2
  return odd === 1
}

function isSame(one: Hash, other: Hash): boolean {
  return one.length === other.length && one.every((byte, n) => byte === other[n])
}
