/** The sheet of a sample, judged: what was frozen, by which word it was drawn, and when. Twin of sheet.py. */
import type { Entry, EntryOf } from '../ledger/entry'
import { verifyEntry } from '../ledger/entry'
import { openCheckpoint, type Checkpoint } from '../ledger/checkpoint'
import { LedgerError } from '../ledger/errors'
import { leafOf } from '../ledger/record'
import { verifyConsistency, verifyInclusion } from '../ledger/tree'
import type { Roster } from '../sync/roster'
import { AGAIN, finding, type Finding } from './finding'
import { consistencyJson, pathOfAnswer } from './growth'
import { proofsOf, recordsOf, type Indexed } from './parse'
import { isText, textOf } from './read'
import { draw } from './sample'
import { rosterOf } from './verify'
import * as words from '../words/en/bag/sheet'
import { t } from '../words/message'

const RECORDS = 'sample/records.txt'
const PROOFS = 'sample/proofs.json'
const CHECKPOINT = 'sample/checkpoint.txt'
const CONSISTENCY = 'sample/consistency.json'
const RULE = 'sample/rule.txt'
export const SHEET: readonly string[] = [RECORDS, PROOFS, CHECKPOINT, CONSISTENCY, RULE]

type Frozen = EntryOf<'audit.frozen'>
type Said = EntryOf<'audit.drawn'>

export interface Drawn {
  readonly frozen: { readonly index: number; readonly entry: Frozen }
  readonly said: { readonly index: number; readonly entry: Said }
  readonly jobs: readonly string[]
}
type Files = ReadonlyMap<string, Uint8Array<ArrayBuffer>>

/** The sample, if it is proven; the workshop that it says it is of; and what does not hold. */
export async function judgeSheet(
  files: Files,
): Promise<{ drawn: Drawn | null; workshop: string; findings: Finding[] }> {
  const findings = SHEET.filter((name) => !files.has(name)).map((name) =>
    finding('missing', name, t(words.fileMissing), AGAIN),
  )
  const records = await recordsOf(files.get(RECORDS) ?? new Uint8Array(), findings, RECORDS)
  if (findings.length > 0 || records.length === 0)
    return { drawn: null, workshop: '', findings: findings.length > 0 ? findings : [noFreeze()] }
  const { workshop } = records[0]!.record.entry
  const roster = await rosterOf(workshop, records)
  const frozen = records.flatMap(ofKind('audit.frozen', roster))[0] ?? null
  const said =
    records
      .flatMap(ofKind('audit.drawn', roster))
      // The first of the one who froze counts: who did not like what it drew might give another.
      .find(
        ({ index, entry }) =>
          frozen &&
          entry.body.freeze === frozen.entry.id &&
          entry.person === frozen.entry.person &&
          index > frozen.index,
      ) ?? null
  const found = [
    ...(await forged(records, roster)),
    ...(await unproven(files, records, roster, workshop, frozen)),
    ...(isText(files.get(RULE)!, t(words.rule))
      ? []
      : [finding('rule', RULE, t(words.otherRule), t(words.otherRuleHint))]),
    ...(frozen === null ? [noFreeze()] : []),
    ...(frozen !== null && said === null
      ? [finding('no-draw', RECORDS, t(words.noDraw), t(words.noDrawHint))]
      : []),
  ]
  if (frozen === null || said === null || found.length > 0) return { drawn: null, workshop, findings: found }
  const { jobs, root } = frozen.entry.body
  const { word, count } = said.entry.body
  return { drawn: { frozen, said, jobs: await draw(jobs, root, word, count) }, workshop, findings: [] }
}

const noFreeze = () => finding('no-freeze', RECORDS, t(words.noFreeze), AGAIN)

const ofKind =
  <K extends 'audit.frozen' | 'audit.drawn'>(kind: K, roster: Roster) =>
  ({ index, record: { entry } }: Indexed): { index: number; entry: EntryOf<K> }[] =>
    entry.kind === kind && roster.speaksAs(entry, index, ['auditor'])
      ? [{ index, entry: entry as Entry as EntryOf<K> }]
      : []

async function forged(records: readonly Indexed[], roster: Roster): Promise<Finding[]> {
  const found: Finding[] = []
  for (const { index, record } of records) {
    const key = roster.cameIn(record.entry.device) ? roster.keyOf(record.entry) : null
    if (key === null || !(await verifyEntry(record.entry, key)))
      found.push(finding('wrong-signature', RECORDS, t(words.notSigned, { index }), AGAIN))
  }
  return found
}

async function unproven(
  files: Files,
  records: readonly Indexed[],
  roster: Roster,
  workshop: string,
  frozen: { index: number; entry: Frozen } | null,
): Promise<Finding[]> {
  let head: Checkpoint
  try {
    head = await openCheckpoint(textOf(files.get(CHECKPOINT)), roster.workshopKey ?? '', workshop)
  } catch (error) {
    if (!(error instanceof LedgerError)) throw error
    return [finding('checkpoint', CHECKPOINT, error.message, error.hint)]
  }
  const found: Finding[] = []
  const { size, paths } = proofsOf(files.get(PROOFS)!, found, PROOFS)
  for (const { index, record } of records) {
    const path = paths.get(index) ?? []
    if (size !== head.size || !(await verifyInclusion(await leafOf(record), index, size, path, head.root)))
      found.push(finding('not-included', RECORDS, t(words.notInLedger, { index }), AGAIN))
  }
  if (frozen && !(await isOfLedger(textOf(files.get(CONSISTENCY)), frozen, head)))
    found.push(finding('frozen-root', CONSISTENCY, t(words.otherRoot), t(words.otherRootHint)))
  return found
}

/** Whether the frozen root is that of this ledger, before the freeze came in. */
async function isOfLedger(
  said: string,
  { index, entry: { body } }: { index: number; entry: Frozen },
  head: Checkpoint,
): Promise<boolean> {
  const path = pathOfAnswer(said)
  if (path === null || body.size > index || said !== consistencyJson(body.size, head.size, path)) return false
  const root = Uint8Array.from(body.root.match(/../g) ?? [], (pair) => parseInt(pair, 16))
  return verifyConsistency(body.size, head.size, root, head.root, path)
}
