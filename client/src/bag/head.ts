/** The head of a job, and whether a bag holds all that it is of. Twin of head.py and completeness.py. */
import { decodePadded, hex } from '../ledger/base64url'
import { isSignedBy, type Checkpoint } from '../ledger/checkpoint'
import { forms } from '../ledger/forms'
import { sha256 } from '../ledger/keys'
import { byText } from '../procedure/log'
import { AGAIN, finding, type Finding } from './finding'
import * as layout from './layout'
import type { Indexed, Parsed } from './parse'
import { isSame, textOf, type Bag } from './read'
import * as words from '../words/en/bag/completeness'
import { t } from '../words/message'

const FORM = 'two-turns head of a job 1'
const COUNTED = `(0|[1-9][0-9]{0,14}) (${forms.sha256})`
const TEXT = new RegExp(
  `^${FORM}\n(${forms.key})\n(${forms.uuid7})\n(0|[1-9][0-9]{0,14})\n([A-Za-z0-9+/]{43}=)\n` +
    `([0-9]{4}-[0-9]{2}-[0-9]{2})\nentries ${COUNTED}\nothers ${COUNTED}\npayload (${forms.sha256})\n$`,
)
const ID_LINE = new RegExp(`^(entry|other) ${COUNTED}$`)
const CUT = t(words.takenOut, { again: AGAIN })

type Id = readonly [index: number, id: string]
interface Ids {
  readonly entries: readonly Id[]
  readonly others: readonly Id[]
}
interface JobHead {
  readonly job: string
  readonly checkpoint: Checkpoint
  readonly madeOn: string
  readonly entries: string
  readonly others: string
  readonly payload: string
}

export const NOT_PROVEN = finding(
  'completeness-not-proven',
  layout.HEAD,
  t(words.noHead),
  t(words.noHeadHint),
)
/** A head cut off looks like an older bag. */
export const missingHead = () => finding('no-head', layout.HEAD, t(words.headMissing), CUT)
/** Whether the bag is of a form that proves to be whole. */
export const hasHead = ({ members }: Bag): boolean => layout.SINCE_EDITION_2.some((name) => members.has(name))

/** The bag against the head: its signature, its place, then record by record. */
export async function headFindings(
  bag: Bag,
  parsed: Parsed,
  checkpoint: Checkpoint,
  key: string,
  workshop: string,
): Promise<Finding[]> {
  const findings = layout.SINCE_EDITION_2.filter((name) => !bag.members.has(name)).map((name) =>
    finding('missing', name, t(words.fileMissing), CUT),
  )
  const [note, ids] = [bag.texts.get(layout.HEAD), bag.texts.get(layout.IDS)]
  if (!note || !ids) return findings
  const head = await openHead(textOf(note), key, workshop)
  if (!head) return [...findings, finding('head', layout.HEAD, t(words.headNotSigned), CUT)]
  findings.push(...ofAnother(head, parsed, checkpoint))
  if (head.payload !== (await payloadHash(bag.digests)))
    findings.push(finding('payload', layout.MANIFEST, t(words.otherFiles), CUT))
  return [...findings, ...(await idFindings(textOf(ids), head, idsOf(parsed.job, parsed.records)))]
}

async function openHead(note: string, key: string, workshop: string): Promise<JobHead | null> {
  const end = note.lastIndexOf('\n\n')
  const text = note.slice(0, end + 1)
  const form = end < 0 ? null : TEXT.exec(text)
  if (form?.[1] !== workshop) return null
  if (!(await isSignedBy(text, note.slice(end + 2), key, `two-turns/${workshop}`))) return null
  const [, , job, size, root, madeOn, entries, entriesHash, others, othersHash, payload] =
    form as unknown as string[]
  return {
    job: job!,
    checkpoint: { size: Number(size), root: rootOf(root!) },
    madeOn: madeOn!,
    entries: `${entries} ${entriesHash}`,
    others: `${others} ${othersHash}`,
    payload: payload!,
  }
}

/** As the twin: bytes that are written otherwise are none. */
function rootOf(text: string): Uint8Array<ArrayBuffer> {
  try {
    return decodePadded(text)
  } catch {
    return new Uint8Array()
  }
}

function ofAnother(head: JobHead, { job, madeOn }: Parsed, { size, root }: Checkpoint): Finding[] {
  const odd = (what: string) => [finding('head', layout.HEAD, what, CUT)]
  const isOfLedger = head.checkpoint.size === size && isSame(head.checkpoint.root, root)
  return [
    ...(head.job === job ? [] : odd(t(words.otherJob, { job: head.job }))),
    ...(isOfLedger ? [] : odd(t(words.otherLedger, { size: head.checkpoint.size }))),
    ...(head.madeOn === madeOn ? [] : odd(t(words.otherDay, { madeOn: head.madeOn }))),
  ]
}

async function payloadHash(digests: ReadonlyMap<string, string>): Promise<string> {
  const others = layout.inPayload(digests)
  others.delete(layout.HEAD)
  return hashOf(layout.manifest(others))
}

const hashOf = async (text: string): Promise<string> => hex(await sha256(new TextEncoder().encode(text)))

function idsOf(job: string, records: readonly Indexed[]): Ids {
  const of = (isMine: boolean): Id[] =>
    records
      .filter(({ record }) => (record.entry.job === job) === isMine)
      .map(({ index, record }) => [index, record.entry.id])
  return { entries: of(true), others: of(false) }
}

/** `ids.txt`; null if it has another form. */
function readIds(text: string): Ids | null {
  const ids = { entry: [] as Id[], other: [] as Id[] }
  for (const line of text.split('\n')) {
    const form = ID_LINE.exec(line)
    if (form) ids[form[1] as 'entry' | 'other'].push([Number(form[2]), form[3]!])
  }
  const read = { entries: ids.entry, others: ids.other }
  return idsText(read) === text ? read : null
}

function idsText({ entries, others }: Ids): string {
  const lines = [
    ...entries.map(([index, id]) => ({ index, line: `entry ${index} ${id}\n` })),
    ...others.map(([index, id]) => ({ index, line: `other ${index} ${id}\n` })),
  ]
  return lines
    .sort((a, b) => a.index - b.index || byText(a.line, b.line))
    .map(({ line }) => line)
    .join('')
}

/** How many ids there are, and the hash over them. */
const counted = async (ids: readonly Id[]): Promise<string> =>
  `${ids.length} ${await hashOf(ids.map(([, id]) => `${id}\n`).join(''))}`

async function idFindings(text: string, head: JobHead, held: Ids): Promise<Finding[]> {
  const listed = readIds(text)
  const isOfHead =
    listed !== null &&
    (await counted(listed.entries)) === head.entries &&
    (await counted(listed.others)) === head.others
  if (isOfHead)
    return [...compared(listed.entries, held.entries, true), ...compared(listed.others, held.others, false)]
  const findings = [finding('ids', layout.IDS, t(words.otherList), CUT)]
  const leftOut = (what: string) => findings.push(finding('left-out', layout.RECORDS, what, CUT))
  const sizeOf = (said: string) => said.split(' ', 1)[0]!
  if (head.entries !== (await counted(held.entries)))
    leftOut(t(words.entriesDiffer, { size: sizeOf(head.entries), held: held.entries.length }))
  if (head.others !== (await counted(held.others)))
    leftOut(t(words.othersDiffer, { size: sizeOf(head.others), held: held.others.length }))
  return findings
}

function compared(listed: readonly Id[], held: readonly Id[], job: boolean): Finding[] {
  const keys = (ids: readonly Id[]) => new Set(ids.map(([index, id]) => `${index} ${id}`))
  const [wanted, here] = [keys(listed), keys(held)]
  const told = (code: string, message: string, ids: readonly Id[], among: Set<string>) =>
    ids
      .filter(([index, id]) => !among.has(`${index} ${id}`))
      .sort(([a], [b]) => a - b)
      .map(([index, name]) =>
        finding(code, layout.RECORDS, t(message as typeof words.leftOut, { index, job, name }), CUT),
      )
  return [...told('left-out', words.leftOut, listed, here), ...told('not-in-head', words.putIn, held, wanted)]
}
