/** Reading the texts of a stranger's bag: every one has one form, and anything else is a finding. Twin of parse.py. */
import { decodePadded, encodePadded } from '../ledger/base64url'
import { canonical, readCanonicalBytes, type Json } from '../ledger/canonical'
import { LedgerError } from '../ledger/errors'
import { forms, isFormed } from '../ledger/forms'
import { parseRecord, type Record as LedgerRecord } from '../ledger/record'
import { byText } from '../procedure/log'
import { AGAIN, finding, type Finding } from './finding'
import * as layout from './layout'
import { isText, textOf, type Bag } from './read'
import * as words from '../words/en/bag/parse'
import { t } from '../words/message'

export type Path = readonly Uint8Array<ArrayBuffer>[]
export interface Indexed {
  readonly index: number
  readonly record: LedgerRecord
}
export interface Disclosure {
  readonly blob: string
  readonly state: string
  readonly reason: string | null
}

export interface Parsed {
  readonly job: string
  readonly madeOn: string
  readonly records: readonly Indexed[]
  readonly checkpoint: string
  readonly size: number
  readonly paths: ReadonlyMap<number, Path>
  readonly disclosures: ReadonlyMap<string, Disclosure>
  readonly findings: readonly Finding[]
}

const LINE = /^(0|[1-9][0-9]{0,15}) (.+)$/s
const NODE_BYTES = 32
const STATES = ['disclosed', 'copy', 'withheld', 'erased', 'absent']

/** The tag files of a bag. What does not hold is a finding, and the rest goes on. */
export async function parse(bag: Bag): Promise<Parsed> {
  const findings: Finding[] = []
  const empty = new Uint8Array()
  const info = textOf(bag.texts.get(layout.BAG_INFO))
  const { size, paths } = proofsOf(bag.texts.get(layout.PROOFS) ?? empty, findings)
  return {
    job: layout.infoField(info, 'External-Identifier') ?? '',
    madeOn: layout.infoField(info, 'Bagging-Date') ?? '',
    records: await recordsOf(bag.texts.get(layout.RECORDS) ?? empty, findings),
    checkpoint: textOf(bag.texts.get(layout.CHECKPOINT)),
    size,
    paths,
    disclosures: disclosuresOf(bag.texts.get(layout.DISCLOSURE) ?? empty, findings),
    findings,
  }
}

/** The entry that opened the job. */
export const openedOf = ({ records, job }: Parsed): LedgerRecord | null =>
  records.find(({ record: { entry } }) => entry.job === job && entry.kind === 'job.opened')?.record ?? null

/** The records of `records.txt`, by index; what is odd in it is added to `findings`. */
export async function recordsOf(
  text: Uint8Array,
  findings: Finding[],
  file: string = layout.RECORDS,
): Promise<Indexed[]> {
  const odd = (number: number, what: string, hint: string = AGAIN) =>
    findings.push(finding('record', file, t(words.line, { number, what }), hint))
  const records: Indexed[] = []
  const lines = linesOf(text)
  if (lines.pop()!.length > 0) odd(lines.length + 1, t(words.lastLineNoEnd))
  for (const [at, line] of lines.entries()) {
    try {
      const form = LINE.exec(new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(line))
      if (!form) throw new Error(t(words.notIndexAndRecord))
      const [index, record] = [Number(form[1]), await parseRecord(form[2]!)]
      const last = records.at(-1)
      if (last && index <= last.index) odd(at + 1, t(words.indexOutOfOrder, { index, records: last.index }))
      else records.push({ index, record })
    } catch (error) {
      odd(at + 1, (error as Error).message, error instanceof LedgerError ? error.hint : AGAIN)
    }
  }
  return records
}

/** Each line without its line feed; the last is what stands behind the last one. */
function linesOf(text: Uint8Array): Uint8Array[] {
  const lines: Uint8Array[] = []
  let start = 0
  for (let end = text.indexOf(10); end >= 0; end = text.indexOf(10, start)) {
    lines.push(text.subarray(start, end))
    start = end + 1
  }
  return [...lines, text.subarray(start)]
}

const isObject = (value: Json | undefined): value is { readonly [key: string]: Json } =>
  typeof value === 'object' && value !== null && !Array.isArray(value)

/** Size and paths of `proofs.json`, by index; none where it has another form. */
export function proofsOf(
  text: Uint8Array,
  findings: Finding[],
  file: string = layout.PROOFS,
): { size: number; paths: Map<number, Path> } {
  try {
    const said = readCanonicalBytes(text)
    const paths = new Map<number, Path>()
    if (!isObject(said) || typeof said['size'] !== 'number' || !Array.isArray(said['inclusion']))
      throw new Error(t(words.malformedProofs))
    for (const one of said['inclusion'] as Json[]) {
      if (!isObject(one) || typeof one['index'] !== 'number' || !Array.isArray(one['path']))
        throw new Error(t(words.malformedProofs))
      paths.set(one['index'], (one['path'] as Json[]).map(nodeOf))
    }
    const size = said['size']
    if (!isText(text, proofsJson(size, paths))) throw new Error(t(words.malformedProofs))
    return { size, paths }
  } catch (error) {
    findings.push(finding('proofs', file, t(words.unreadable, { error: (error as Error).message }), AGAIN))
    return { size: 0, paths: new Map() }
  }
}

function nodeOf(text: Json): Uint8Array<ArrayBuffer> {
  if (typeof text !== 'string') throw new Error(t(words.malformedProofs))
  const node = decodePadded(text)
  if (node.length !== NODE_BYTES) throw new Error(t(words.wrongNodeSize, { node: node.length }))
  return node
}

const proofsJson = (size: number, paths: ReadonlyMap<number, Path>): string =>
  canonical({
    size,
    inclusion: [...paths.keys()]
      .sort((a, b) => a - b)
      .map((index) => ({ index, path: paths.get(index)!.map(encodePadded) })),
  })

function disclosuresOf(text: Uint8Array, findings: Finding[]): Map<string, Disclosure> {
  try {
    const said = readCanonicalBytes(text)
    if (!Array.isArray(said)) throw new Error(t(words.malformedDisclosure))
    const all = (said as Json[]).map(disclosureOf)
    const named = new Map(all.map((one) => [one.blob, one]))
    if (named.size < all.length || !isText(text, disclosureJson(all)))
      throw new Error(t(words.malformedDisclosure))
    return named
  } catch (error) {
    const what = t(words.unreadable, { error: (error as Error).message })
    findings.push(finding('disclosure', layout.DISCLOSURE, what, AGAIN))
    return new Map()
  }
}

function disclosureOf(said: Json): Disclosure {
  if (!isObject(said)) throw new Error(t(words.malformedDisclosure))
  const { blob, state, reason } = said
  if (!isFormed(blob, forms.sha256) || !STATES.includes(String(state)))
    throw new Error(t(words.unknownState, { state: `'${String(state)}'`, blob: `'${String(blob)}'` }))
  if (reason !== undefined && typeof reason !== 'string')
    throw new Error(t(words.reasonNotText, { reason: String(reason) }))
  return { blob, state: String(state), reason: reason ?? null }
}

const disclosureJson = (all: readonly Disclosure[]): string =>
  canonical(
    [...all]
      .sort((a, b) => byText(a.blob, b.blob))
      .map(({ blob, state, reason }) => ({ blob, state, ...(reason === null ? {} : { reason }) })),
  )
