/** What the job's entries name against what the bag shows. Twin of disclosed.py and blob_uses.py. */
import { wireBody, type Entry } from '../ledger/entry'
import { forms, isFormed } from '../ledger/forms'
import { byText } from '../procedure/log'
import type { Roster } from '../sync/roster'
import { AGAIN, finding, type Finding } from './finding'
import * as layout from './layout'
import type { Disclosure, Parsed } from './parse'
import type { Bag } from './read'
import * as words from '../words/en/bag/disclosed'
import { t } from '../words/message'

/** The blobs' bytes; that all that are named are accounted for, and that nothing else is here. */
export function disclosureFindings(bag: Bag, parsed: Parsed, roster: Roster): Finding[] {
  const named = blobsNamed(parsed)
  const papers = paperPlaces(parsed)
  const places = new Map([...papers, ...entriesOf(parsed).flatMap(filePlaces)])
  const files = [...bag.members.keys()].sort(byText).flatMap((name): [string, string][] => {
    const blob = layout.blobOf(name)
    return blob === null ? [] : [[name, blob]]
  })
  const shown = new Map(files.map(([name, blob]) => [blob, name]))
  const said = [...parsed.disclosures.values()].sort((a, b) => byText(a.blob, b.blob))
  return [
    ...files.flatMap(([name, blob]) => fileFindings(name, blob, bag, parsed, places)),
    ...[...named]
      .filter((blob) => !parsed.disclosures.has(blob))
      .sort(byText)
      .map((blob) =>
        finding('unaccounted-blob', layout.DISCLOSURE, t(words.blobUnexplained, { blob }), AGAIN),
      ),
    ...said.flatMap((one) =>
      saidFindings(one, named.has(one.blob) || papers.has(one.blob), shown.has(one.blob), parsed, roster),
    ),
  ]
}

const entriesOf = ({ records, job }: Parsed): Entry[] =>
  records.map(({ record }) => record.entry).filter((entry) => entry.job === job)

/** What the job's entries name, and the names of the persons they name. */
function blobsNamed(parsed: Parsed): Set<string> {
  const mine = entriesOf(parsed)
  const persons = new Set(mine.map(({ person }) => person))
  const names = parsed.records.flatMap(({ record: { entry } }) =>
    entry.kind === 'person.named' && persons.has(entry.body.person) ? [entry] : [],
  )
  return new Set([...mine, ...names].flatMap((entry) => blobsIn(wireBody(entry))))
}

function blobsIn(body: object): string[] {
  return Object.entries(body).flatMap(([name, value]: [string, unknown]) => {
    if (name === 'blob' && isFormed(value, forms.sha256)) return [value]
    if (Array.isArray(value)) return value.filter(isMapping).flatMap(blobsIn)
    return isMapping(value) && Object.keys(value).join() === 'blob' ? blobsIn(value) : []
  })
}

const isMapping = (value: unknown): value is object =>
  typeof value === 'object' && value !== null && !Array.isArray(value)

/** The blobs that an entry only describes, and where a bag has each. */
function filePlaces(entry: Entry): [blob: string, name: string][] {
  if (entry.kind === 'photo.taken')
    return [[entry.body.blob, layout.photoName(entry.body.blob, entry.body.type)]]
  if (entry.kind === 'reading.taken')
    return (entry.body.saw ?? []).map(({ blob, type }) => [blob, layout.sawName(blob, type)])
  return []
}

/** The papers that the workshop's statements name, and where a bag has each. */
function paperPlaces({ records }: Parsed): Map<string, string> {
  return new Map(
    records.flatMap(({ record: { entry } }): [string, string][] =>
      entry.job === null && 'document' in entry.body && entry.body.document
        ? [[entry.body.document.blob, layout.paperName(entry.body.document.blob, entry.body.document.type)]]
        : [],
    ),
  )
}

function fileFindings(
  name: string,
  blob: string,
  bag: Bag,
  { disclosures }: Parsed,
  places: ReadonlyMap<string, string>,
): Finding[] {
  const findings: Finding[] = []
  const found = bag.digests.get(name) ?? blob // what could not be read has its finding already
  if (found !== blob && !name.startsWith(layout.COPIES))
    findings.push(finding('blob-changed', name, t(words.bytesNotSigned, { found }), AGAIN))
  const said = disclosures.get(blob)
  const right = places.get(blob) ?? layout.blobName(blob)
  if (!said || !(layout.FOLDERS[said.state] ?? []).some((folder) => name.startsWith(folder))) {
    const what = t(words.blobIsHere, { state: said?.state ?? 'nothing' })
    findings.push(finding('undisclosed-file', name, what, AGAIN))
  } else if (said.state === 'disclosed' && name !== right) {
    findings.push(finding('misplaced-file', name, t(words.misplaced, { right }), AGAIN))
  }
  return findings
}

function saidFindings(
  { blob, state }: Disclosure,
  isNamed: boolean,
  isShown: boolean,
  { records }: Parsed,
  roster: Roster,
): Finding[] {
  const odd = (code: string, what: string) => [finding(code, layout.DISCLOSURE, what, AGAIN)]
  const erases = () =>
    records.some(
      ({ index, record: { entry } }) =>
        entry.kind === 'blob.erased' &&
        entry.body.blob === blob &&
        // Owners might, until the rules of edition 2 began (bodies.py).
        roster.speaksAs(entry, index, roster.editionAt(index) < 2 ? ['console', 'owner'] : ['console']),
    )
  return [
    ...(isNamed ? [] : odd('unknown-blob', t(words.blobUnnamed, { blob }))),
    ...(state in layout.FOLDERS && !isShown
      ? odd('missing-blob', t(words.blobMissing, { blob, state }))
      : []),
    ...(state === 'erased' && !erases() ? odd('erased-unsaid', t(words.erasureUnsigned, { blob })) : []),
  ]
}
