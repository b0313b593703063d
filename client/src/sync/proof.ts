/** Records and what leads from them to the root of a signed checkpoint. */
import type { KeptAnswer, RecordAnswer } from '../ledger/answers'
import { decodePadded } from '../ledger/base64url'
import type { Checkpoint } from '../ledger/checkpoint'
import { leafHash, verifyInclusionOf } from '../ledger/tree'

/** An answer that proves its records: the checkpoint, and what leads from them to its root. */
export type Proven = Pick<KeptAnswer, 'checkpoint' | 'proof'>

/** Whether the proof leads from all these records, each at its own index, to the root of the head. */
export async function isProven(records: RecordAnswer[], head: Checkpoint, proof: unknown): Promise<boolean> {
  // A `blob.kept` that this phone brought back may be its own receipt, too: one place, one text.
  const texts = new Map(records.map(({ index, record }) => [index, record]))
  const leaves = new Map<number, Uint8Array<ArrayBuffer>>()
  for (const [index, record] of texts) leaves.set(index, await leafHash(new TextEncoder().encode(record)))
  try {
    const nodes = (proof as string[]).map(decodePadded)
    return (
      records.every(({ index, record }) => texts.get(index) === record) &&
      (await verifyInclusionOf(leaves, head.size, nodes, head.root))
    )
  } catch {
    return false // not a list of hashes
  }
}
