/** Opening a bag that a stranger sent: every file read once, hashed, the texts kept. Twin of read.py. */
import { hex } from '../ledger/base64url'
import { sha256 } from '../ledger/keys'
import { byText } from '../procedure/log'
import { AGAIN, finding, type Finding } from './finding'
import * as layout from './layout'
import { Sha256 } from './sha256'
import { membersOf, piecesOf, type Member, type Source } from './zip'
import * as words from '../words/en/bag/read'
import { t } from '../words/message'

/** Up to so many bytes the browser's own SHA-256 is given a file whole. */
const WHOLE = 16 * 2 ** 20

export interface Bag {
  readonly members: ReadonlyMap<string, Member>
  /** SHA-256 in hex, of what could be read. */
  readonly digests: ReadonlyMap<string, string>
  readonly texts: ReadonlyMap<string, Uint8Array<ArrayBuffer>>
}

/** How many bytes of how many were read. */
export type Progress = (done: number, of: number) => void

/** @throws {BagUnreadable} If it is no zip, or unsafe to look into. */
export async function readBag(source: Source, progress: Progress): Promise<[Bag, Finding[]]> {
  const members = await membersOf(source, (name) => layout.blobOf(name) !== null)
  const names = [...members.keys()].sort(byText)
  const [digests, texts] = [new Map<string, string>(), new Map<string, Uint8Array<ArrayBuffer>>()]
  const foreign = names.filter((name) => !layout.isOurs(name))
  const findings = foreign.map((name) => finding('unexpected-file', name, t(words.unexpectedFile), AGAIN))
  const all = [...members.values()].reduce((sum, { size }) => sum + size, 0)
  let done = 0
  for (const name of names) {
    const member = members.get(name)!
    try {
      const { digest, bytes } = await digestOf(source, member, layout.blobOf(name) === null)
      digests.set(name, digest)
      if (bytes) texts.set(name, bytes)
    } catch (error) {
      const what = t(words.cannotUnpack, { error: (error as Error).message })
      findings.push(finding('unreadable', name, what, AGAIN))
    }
    progress((done += member.size), all)
  }
  return [{ members, digests, texts }, findings]
}

/** The SHA-256 of a file, and where they are wanted its bytes. */
export async function digestOf(
  source: Source,
  member: Member,
  keep: boolean,
): Promise<{ digest: string; bytes: Uint8Array<ArrayBuffer> | null }> {
  if (!keep && member.size > WHOLE) {
    const digest = new Sha256()
    for await (const piece of piecesOf(source, member)) digest.add(piece)
    return { digest: digest.end(), bytes: null }
  }
  const bytes = await bytesOf(source, member)
  return { digest: hex(await sha256(bytes)), bytes: keep ? bytes : null }
}

export async function bytesOf(source: Source, member: Member): Promise<Uint8Array<ArrayBuffer>> {
  const bytes = new Uint8Array(member.size)
  let at = 0
  for await (const piece of piecesOf(source, member)) {
    bytes.set(piece, at)
    at += piece.length
  }
  return bytes.subarray(0, at)
}

/** Whether all is there, and both manifests are exactly what the files make them. */
export function manifestFindings(bag: Bag): Finding[] {
  const findings = layout.REQUIRED.filter((name) => !bag.members.has(name)).map((name) =>
    finding('missing', name, t(words.fileMissing), AGAIN),
  )
  const bagit = bag.texts.get(layout.BAGIT)
  if (bagit && !isText(bagit, layout.BAGIT_TXT))
    findings.push(finding('not-bagit-1.0', layout.BAGIT, t(words.notBagit), AGAIN))
  const tags = new Map([...bag.digests].filter(([name]) => layout.TAG_FILES.includes(name)))
  const expected = [
    [layout.MANIFEST, layout.inPayload(bag.digests)],
    [layout.TAG_MANIFEST, tags],
  ] as const
  for (const [name, digests] of expected) {
    const text = bag.texts.get(name)
    if (text) findings.push(...compare(name, text, digests, bag))
  }
  return findings
}

export const isText = (bytes: Uint8Array, text: string): boolean =>
  isSame(bytes, new TextEncoder().encode(text))

export const isSame = (one: Uint8Array, other: Uint8Array): boolean =>
  one.length === other.length && one.every((byte, at) => byte === other[at])

/** As Python's `decode("utf-8", "replace")`: what is no UTF-8 is replaced, and compares with nothing. */
export const textOf = (bytes: Uint8Array | undefined): string =>
  new TextDecoder('utf-8', { ignoreBOM: true }).decode(bytes ?? new Uint8Array())

function compare(
  manifest: string,
  text: Uint8Array,
  expected: ReadonlyMap<string, string>,
  bag: Bag,
): Finding[] {
  if (isText(text, layout.manifest(expected))) return []
  const listed = new Map(linesOf(textOf(text)).map(entryOf))
  const findings: Finding[] = []
  for (const name of [...new Set([...expected.keys(), ...listed.keys()])].sort(byText)) {
    if (bag.members.has(name) && !expected.has(name) && listed.has(name)) continue // found unreadable before
    const what = difference(manifest, listed.get(name), expected.get(name))
    if (what !== null) findings.push(finding('changed', name, what, changedHint(name, manifest)))
  }
  if (findings.length === 0 && [...listed.keys()].every((name) => expected.has(name)))
    findings.push(finding('changed', manifest, t(words.malformedManifest), AGAIN))
  return findings
}

/** Python's `splitlines`. */
const linesOf = (text: string): string[] => {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: these end a line for Python
  const lines = text.split(/\r\n|[\n\r\v\f\x1c-\x1e\x85\u2028\u2029]/)
  return lines.at(-1) === '' ? lines.slice(0, -1) : lines
}

function entryOf(line: string): [name: string, sha: string] {
  const at = line.indexOf('  ')
  return at < 0 ? ['', line] : [line.slice(at + 2), line.slice(0, at)]
}

function difference(manifest: string, listed: string | undefined, found: string | undefined): string | null {
  if (listed === found) return null
  if (listed === undefined) return t(words.fileUnlisted, { manifest })
  if (found === undefined) return t(words.listedFileMissing, { manifest })
  return t(words.hashDiffers, { found, manifest, listed })
}

const changedHint = (name: string, manifest: string) =>
  t(words.changedAfterwards, { name, manifest, again: AGAIN })
