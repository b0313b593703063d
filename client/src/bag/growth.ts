/** Whether the ledger of a bag grew from (or into) one that the reader knows (RFC 6962). Twin of growth.py. */
import { decodePadded, encodePadded } from '../ledger/base64url'
import { canonical } from '../ledger/canonical'
import { openCheckpoint, type Checkpoint } from '../ledger/checkpoint'
import { verifyConsistency } from '../ledger/tree'
import type { Roster } from '../sync/roster'
import { AGAIN, finding, type Finding } from './finding'
import * as layout from './layout'
import type { Path } from './parse'
import { isSame, textOf, type Bag } from './read'
import * as words from '../words/en/bag/growth'
import { t } from '../words/message'

export const KEPT: string = t(words.keptCheckpoint)
const TWO = t(words.twoLedgersHint)

/** What a checkpoint says, if any key that the workshop ever had signed it. */
export async function openedWithAnyKey(
  note: string,
  roster: Roster,
  workshop: string,
): Promise<Checkpoint | null> {
  for (const key of roster.succession().keys) {
    const opened = await openCheckpoint(note, key, workshop).catch(() => null)
    if (opened) return opened
  }
  return null
}

export const isSameHead = (one: Checkpoint, other: Checkpoint): boolean =>
  one.size === other.size && isSame(one.root, other.root)

/** The bag's head against one that was kept; null if one is proven to be of the other. */
export async function compare(
  held: Checkpoint,
  head: Checkpoint,
  path: Path | null,
): Promise<Finding | null> {
  const [old, now] = held.size <= head.size ? [held, head] : [head, held]
  const two = (what: string) => finding('two-ledgers', KEPT, what, TWO)
  if (old.size === now.size)
    return isSame(held.root, head.root) ? null : two(t(words.otherRoot, { size: held.size }))
  const sizes = { old: old.size, new: now.size }
  if (path === null)
    return finding(
      'growth-not-proven',
      KEPT,
      t(words.growthNotProven, sizes),
      t(words.growthNotProvenHint, sizes),
    )
  const isGrown = await verifyConsistency(old.size, now.size, old.root, now.root, path)
  return isGrown ? null : two(t(words.otherBeginning, sizes))
}

export const consistencyJson = (from: number, to: number, path: Path): string =>
  canonical({ from, path: path.map(encodePadded), to })

/** The path in an answer of `/api/consistency`; null if it is no such answer. */
export function pathOfAnswer(text: string): Path | null {
  try {
    const { path } = JSON.parse(text) as { path?: unknown }
    return Array.isArray(path) ? path.map((node) => decodePadded(node as string)) : null
  } catch {
    return null
  }
}

/** What is said of a proof of growth that cannot be read. */
export const noPath = (): Finding =>
  finding('consistency', t(words.consistencyProof), t(words.badProofAnswer), t(words.badProofAnswerHint))

/** The checkpoint that a bag was made for, if it was, and what leads from it to the bag's. */
export interface Since {
  readonly checkpoint: Checkpoint | null
  readonly path: Path | null
  readonly findings: readonly Finding[]
}

export async function sinceOf(
  { members, texts }: Bag,
  roster: Roster,
  workshop: string,
  head: Checkpoint,
): Promise<Since> {
  if (!members.has(layout.SINCE) && !members.has(layout.CONSISTENCY))
    return { checkpoint: null, path: null, findings: [] }
  const said = textOf(texts.get(layout.CONSISTENCY))
  const checkpoint = await openedWithAnyKey(textOf(texts.get(layout.SINCE)), roster, workshop)
  const path = pathOfAnswer(said)
  const found = async (): Promise<Finding | null> => {
    if (!checkpoint) return finding('since', layout.SINCE, t(words.notSigned), AGAIN)
    if (path === null || said !== consistencyJson(checkpoint.size, head.size, path))
      return finding('consistency', layout.CONSISTENCY, t(words.malformedProof), AGAIN)
    const differs = await compare(checkpoint, head, path)
    return differs && { ...differs, file: layout.CONSISTENCY }
  }
  const one = await found()
  return { checkpoint, path, findings: one ? [one] : [] }
}
