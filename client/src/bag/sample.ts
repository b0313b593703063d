/** The rule by which jobs are drawn out of a frozen population. Twin of sample.py, which says whose it is. */
import { hex } from '../ledger/base64url'
import { sha256 } from '../ledger/keys'
import { byText } from '../procedure/log'

const bytesOf = (text: string) => new TextEncoder().encode(text)

function joined(one: Uint8Array, other: Uint8Array): Uint8Array<ArrayBuffer> {
  const both = new Uint8Array(one.length + other.length)
  both.set(one)
  both.set(other, one.length)
  return both
}

/**
 * The jobs that are drawn, in the order in which they are: all, if there are fewer.
 *
 * @param root of the ledger at the freeze, in hex
 */
export async function draw(
  jobs: readonly string[],
  root: string,
  word: string,
  count: number,
): Promise<string[]> {
  const frozen = Uint8Array.from(root.match(/../g) ?? [], (pair) => parseInt(pair, 16))
  const seed = await sha256(joined(frozen, bytesOf(word)))
  const places = await Promise.all(
    [...new Set(jobs)].map(async (job) => ({ job, place: hex(await sha256(joined(seed, bytesOf(job)))) })),
  )
  return places
    .sort((one, other) => byText(one.place, other.place))
    .slice(0, count)
    .map(({ job }) => job)
}
