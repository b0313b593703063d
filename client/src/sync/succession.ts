/**
 * Following the workshop's key: from the fingerprint on paper, link by link, to the key that signs
 * now. A phone that was away for months knows an earlier one; one that followed a thief knows his.
 */
import type { KeysAnswer, ProofAnswer, RecordAnswer } from '../ledger/answers'
import { decodePadded } from '../ledger/base64url'
import { openCheckpoint, type Checkpoint } from '../ledger/checkpoint'
import { verifyEntry, type Entry } from '../ledger/entry'
import { parseRecord } from '../ledger/record'
import { verifyConsistency } from '../ledger/tree'
import type { Api } from './api'
import { Refused } from './errors'
import { isProven } from './proof'
import { Roster, type Recovery, type Succession } from './roster'

export interface Link {
  index: number
  entry: Entry
}

/** What `/api/keys` answers, checked as far as it goes by itself. */
export interface Told {
  records: RecordAnswer[]
  roster: Roster
  head: Checkpoint
}

/** Whoever has nothing to say of his key is not the workshop. */
function unlessThere(error: unknown): null {
  if (error instanceof Refused && error.status === 404) return null
  throw error
}

const HEX_PAIR = /../g

/** The chain that the workshop tells, if each link of it holds and its last key signed for it; null otherwise. */
export async function askChain(api: Api, workshop: string): Promise<Told | null> {
  const answer = await api
    .json<KeysAnswer>('/api/keys', { members: ['records', 'checkpoint', 'proof'] })
    .catch(unlessThere)
  if (!answer) return null
  const roster = await leading(workshop, answer.records).catch(() => null)
  const key = roster?.workshopKey
  const head = key ? await openCheckpoint(answer.checkpoint, key, workshop).catch(() => null) : null
  if (!roster || !head || !(await isProven(answer.records, head, answer.proof))) return null
  return { records: answer.records, roster, head }
}

/** The roster that these records make, from nothing but the workshop id. Rejects what is not signed. */
export async function leading(workshop: string, records: readonly RecordAnswer[]): Promise<Roster> {
  const roster = new Roster(workshop)
  for (const link of await linksOf(records)) {
    const key = roster.keyOf(link.entry)
    if (key === null || !(await verifyEntry(link.entry, key)))
      throw new Error(`nobody signed record ${link.index}`)
    await roster.lead([link])
  }
  return roster
}

export const linksOf = (records: readonly RecordAnswer[]): Promise<Link[]> =>
  Promise.all(records.map(async ({ index, record }) => ({ index, entry: (await parseRecord(record)).entry })))

/**
 * Whether what is told goes on from what is known. Recovery keys only ever follow each other; with
 * them the workshop keys may have been changed behind our back, without them they follow each other,
 * too. Of a phone that has read nothing yet, the key of its invitation must be among them.
 */
export function leadsOn(known: Succession, told: Succession): boolean {
  if (!isBeginning(known.commitments, told.commitments)) return false
  if (known.keys.length === 1 && known.keys.every((key) => told.keys.includes(key))) return true
  if (isBeginning(known.keys, told.keys)) return true
  return known.commitments.length > 0 && told.recoveries.length > known.recoveries.length
}

const isBeginning = (some: readonly string[], all: readonly string[]) =>
  some.every((one, n) => one === all[n])

/** Recoveries that were not known yet. */
export const newRecoveries = (known: Succession, told: Succession): Recovery[] =>
  told.recoveries.slice(known.recoveries.length)

/** Whether the ledger that a recovery trusts is the one that the checkpoint is of. */
export async function isOfThisLedger(
  api: Api,
  { index, size, root }: Recovery,
  head: Checkpoint,
): Promise<boolean> {
  if (size > index) return true // put back from before it: what it trusted is partly gone
  const { path } = await api.json<ProofAnswer>(`/api/consistency?from=${size}&to=${head.size}`, {
    members: ['path'],
  })
  const trusted = Uint8Array.from(root.match(HEX_PAIR) ?? [], (pair) => parseInt(pair, 16))
  try {
    return await verifyConsistency(size, head.size, trusted, head.root, path.map(decodePadded))
  } catch {
    return false
  }
}
