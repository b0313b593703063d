/**
 * A zip as a stranger sent it, read where it lies (APPNOTE 6.3.10): its list first, all of it judged, then one file after
 * the other in pieces. Nothing is unpacked but for its hash, and of a text its bytes. What is refused is what read.py
 * refuses.
 */
import { BagUnreadable, AGAIN } from './finding'
import * as words from '../words/en/bag/read'
import * as bounds from '../words/en/bag/bounds'
import { t } from '../words/message'

/** Bytes that lie somewhere: a file that a person chose, or a part of one. */
export interface Source {
  readonly size: number
  read(start: number, end: number): Promise<Uint8Array<ArrayBuffer>>
}

/** A file of the zip, as the list at its end has it. */
export interface Member {
  readonly name: string
  readonly rawName: Uint8Array
  readonly method: number
  readonly flags: number
  readonly crc: number
  readonly packed: number
  readonly size: number
  readonly at: number
  readonly mode: number
  readonly hasComment: boolean
}

interface Listed {
  members: Member[]
  /** Where the list begins. */
  end: number
}

export const MAX_FILES = 20_000
export const MAX_UNPACKED = 8 * 2 ** 30
export const MAX_TEXT = 128 * 2 ** 20
const MAX_RATIO = 150
const RATIO_FROM = 2 ** 20
const MAX_LIST = 2 ** 26 // 20,000 files of the longest names a bag has are a tenth of it
const UNIX = 3
const [LOCAL, CENTRAL, END, END_64, LOCATOR_64] = [0x04034b50, 0x02014b50, 0x06054b50, 0x06064b50, 0x07064b50]
const [HEADER_BYTES, END_BYTES, LOCATOR_BYTES] = [30, 22, 20]
const [STORED, DEFLATED] = [0, 8]
const [ENCRYPTED, DESCRIBED, IN_UTF8] = [1, 8, 0x800]
const PIECE = 4 * 2 ** 20

const viewOf = (bytes: Uint8Array) => new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
const broken = (error: string) => new BagUnreadable(t(words.notAZip, { error }), AGAIN)
const stray = () => new BagUnreadable(t(words.strayBytes))

/**
 * The files under the one top folder, by their name in it.
 *
 * @param isLong whether a file of a name is only limited by what all may have together
 * @throws {BagUnreadable} If it is no zip, or unsafe to look into.
 */
export async function membersOf(
  source: Source,
  isLong: (name: string) => boolean,
): Promise<Map<string, Member>> {
  const { members, end } = await listOf(source)
  refuseTooMuch(members)
  members.forEach(refuseUnsafe)
  const plain = members.filter(({ name }) => !name.endsWith('/'))
  const tops = new Set(plain.map(({ name }) => name.split('/', 1)[0]))
  if (tops.size > 1) throw new BagUnreadable(t(words.severalFolders, { tops: tops.size }))
  const found = new Map<string, Member>()
  for (const one of plain) {
    const slash = one.name.indexOf('/')
    const name = slash < 0 ? '' : one.name.slice(slash + 1)
    if (name === '') throw new BagUnreadable(t(words.besideFolder, { filename: `'${one.name}'` }))
    if (found.has(name)) throw new BagUnreadable(t(words.twiceInZip, { name }))
    if (!isLong(name) && one.size > MAX_TEXT)
      throw new BagUnreadable(t(bounds.fileTooLarge, { name, size: one.size, maxText: MAX_TEXT }))
    found.set(name, one)
  }
  await refuseHidden(source, members, end)
  return found
}

function refuseTooMuch(members: readonly Member[]): void {
  if (members.length > MAX_FILES)
    throw new BagUnreadable(t(bounds.tooManyFiles, { files: members.length, maxFiles: MAX_FILES }))
  if (members.reduce((sum, { size }) => sum + size, 0) > MAX_UNPACKED)
    throw new BagUnreadable(t(bounds.bagTooLarge, { maxUnpacked: MAX_UNPACKED / 2 ** 30 }))
}

/** A member that could leave its folder, is no plain file, or is a bomb. */
function refuseUnsafe({ name, mode, flags, size, packed }: Member): void {
  const segments = name.replace(/\/$/, '').split('/')
  const filename = `'${name}'`
  if (/[\\\0]/.test(name) || segments.some((one) => ['', '.', '..'].includes(one)))
    throw new BagUnreadable(t(words.unsafeName, { name: filename }))
  if (![0, 0o100000, 0o040000].includes(mode & 0o170000))
    throw new BagUnreadable(t(words.linkOrDevice, { name: filename }))
  if (flags & ENCRYPTED) throw new BagUnreadable(t(words.encrypted, { name: filename }))
  if (size > RATIO_FROM && size > MAX_RATIO * packed)
    throw new BagUnreadable(t(words.unpacksTooFar, { name: filename, fileSize: size, compressSize: packed }))
}

/** Bytes that belong to none of the files, before, between or behind them: another reader would show them. */
async function refuseHidden(source: Source, members: readonly Member[], end: number): Promise<void> {
  let [place, gaps] = [0, [0]]
  for (const one of [...members].sort((a, b) => a.at - b.at)) {
    if (!gaps.includes(one.at - place) || one.hasComment) throw stray()
    const header = await source.read(one.at, one.at + HEADER_BYTES)
    if (header.length < HEADER_BYTES) throw stray()
    place = one.at + HEADER_BYTES + lengthsIn(header) + one.packed
    gaps = one.flags & DESCRIBED ? [12, 16, 20, 24] : [0]
  }
  if (!gaps.includes(end - place)) throw stray()
}

/** Of a local header: of the name, and of what else is there. */
const lengthsIn = (header: Uint8Array): number =>
  viewOf(header).getUint16(26, true) + viewOf(header).getUint16(28, true)

// The list at the end.

async function listOf(source: Source): Promise<Listed> {
  if (source.size < END_BYTES) throw broken(t(words.noList))
  const last = viewOf(await source.read(source.size - END_BYTES, source.size))
  if (last.getUint32(0, true) !== END) {
    // A comment behind the list, or no zip at all: told apart, as the command line does.
    throw (await hasList(source)) ? stray() : broken(t(words.noList))
  }
  if (last.getUint16(20, true) !== 0) throw stray()
  const { count, size, start } = await placeOf(source, last)
  if (size > MAX_LIST) throw new BagUnreadable(t(bounds.tooManyFiles, { files: count, maxFiles: MAX_FILES }))
  const list = await source.read(start, start + size)
  const members: Member[] = []
  for (let at = 0; at < list.length; ) {
    const [member, length] = memberAt(list, at)
    members.push(member)
    at += length
  }
  if (members.length !== count) throw broken(t(words.noList))
  return { members, end: start }
}

async function hasList(source: Source): Promise<boolean> {
  const tail = await source.read(Math.max(0, source.size - END_BYTES - 0xffff), source.size)
  return tail.some(
    (byte, at) => byte === 0x50 && at + 4 <= tail.length && viewOf(tail).getUint32(at, true) === END,
  )
}

/** How many files the list has, its bytes, and where it begins; of a large zip another record says so. */
async function placeOf(
  source: Source,
  last: DataView,
): Promise<{ count: number; size: number; start: number }> {
  let [count, size, start] = [last.getUint16(10, true), last.getUint32(12, true), last.getUint32(16, true)]
  let end = source.size - END_BYTES
  const locator = end < LOCATOR_BYTES ? null : viewOf(await source.read(end - LOCATOR_BYTES, end))
  if (locator?.getUint32(0, true) === LOCATOR_64) {
    const at = wide(locator, 8)
    const more = viewOf(await source.read(at, at + 56))
    if (more.byteLength < 56 || more.getUint32(0, true) !== END_64) throw broken(t(words.noList))
    ;[count, size, start, end] = [wide(more, 32), wide(more, 40), wide(more, 48), at]
  }
  // What stands before the zip would move all places: they are not moved here, it is refused.
  if (start + size !== end) throw stray()
  return { count, size, start }
}

function wide(view: DataView, at: number): number {
  const value = view.getBigUint64(at, true)
  if (value > BigInt(Number.MAX_SAFE_INTEGER)) throw broken(t(words.noList))
  return Number(value)
}

/** The member whose entry of the list is at a place, and the length of that. */
function memberAt(list: Uint8Array, at: number): [Member, number] {
  if (at + 46 > list.length) throw broken(t(words.noList))
  const view = viewOf(list.subarray(at))
  if (view.getUint32(0, true) !== CENTRAL) throw broken(t(words.noList))
  const [name, extra, comment] = [28, 30, 32].map((place) => view.getUint16(place, true)) as [
    number,
    number,
    number,
  ]
  const length = 46 + name + extra + comment
  if (at + length > list.length) throw broken(t(words.noList))
  const rawName = list.slice(at + 46, at + 46 + name)
  const flags = view.getUint16(8, true)
  const sizes = {
    size: view.getUint32(24, true),
    packed: view.getUint32(20, true),
    at: view.getUint32(42, true),
  }
  widened(sizes, list.subarray(at + 46 + name, at + 46 + name + extra))
  const member: Member = {
    name: new TextDecoder(flags & IN_UTF8 ? 'utf-8' : 'latin1').decode(rawName),
    rawName,
    flags,
    method: view.getUint16(10, true),
    crc: view.getUint32(16, true),
    mode: view.getUint8(5) === UNIX ? view.getUint32(38, true) >>> 16 : 0,
    hasComment: comment > 0,
    ...sizes,
  }
  return [member, length]
}

/** Sizes that do not fit into 32 bits stand in the extra field 1 (section 4.5.3), in this order. */
function widened(sizes: { size: number; packed: number; at: number }, extra: Uint8Array): void {
  const view = viewOf(extra)
  for (let at = 0; at + 4 <= extra.length; at += 4 + view.getUint16(at + 2, true)) {
    if (view.getUint16(at, true) !== 1) continue
    let place = at + 4
    for (const name of ['size', 'packed', 'at'] as const) {
      if (sizes[name] !== 0xffffffff) continue
      if (place + 8 > extra.length) throw broken(t(words.noList))
      sizes[name] = wide(view, place)
      place += 8
    }
  }
}

// One file.

/**
 * A file's bytes, piece by piece, as they were packed; compared with length and CRC-32 at their end.
 *
 * @throws {Error} If it cannot be unpacked, or they differ.
 */
export async function* piecesOf(source: Source, member: Member): AsyncGenerator<Uint8Array<ArrayBuffer>> {
  const start = await dataOf(source, member)
  let [crc, size] = [0, 0]
  for await (const piece of unpacked(source, member, start)) {
    size += piece.length
    if (size > member.size) break
    crc = crc32(piece, crc)
    yield piece
  }
  // Fewer than the list says are told by what reads them, as on the command line.
  if (size > member.size || crc !== member.crc) throw new Error(t(words.otherChecksum))
}

/** A file that lies in another one as it is. */
export async function partOf(source: Source, member: Member): Promise<Source> {
  const start = await dataOf(source, member)
  return {
    size: member.size,
    read: (from, to) => source.read(start + from, start + Math.min(to, member.size)),
  }
}

export const isStored = ({ method }: Member): boolean => method === STORED

/** Where a file's bytes begin: its own header must call it what the list calls it. */
async function dataOf(source: Source, { at, rawName }: Member): Promise<number> {
  const header = await source.read(at, at + HEADER_BYTES + rawName.length)
  if (header.length < HEADER_BYTES || viewOf(header).getUint32(0, true) !== LOCAL)
    throw new Error(t(words.otherHeader))
  const own = header.subarray(HEADER_BYTES, HEADER_BYTES + viewOf(header).getUint16(26, true))
  if (own.length !== rawName.length || !own.every((byte, n) => byte === rawName[n]))
    throw new Error(t(words.otherHeader))
  return at + HEADER_BYTES + lengthsIn(header)
}

async function* unpacked(
  source: Source,
  { method, packed }: Member,
  start: number,
): AsyncGenerator<Uint8Array<ArrayBuffer>> {
  const pieces = async function* () {
    for (let at = 0; at < packed; at += PIECE)
      yield await source.read(start + at, start + Math.min(at + PIECE, packed))
  }
  if (method === STORED) return yield* pieces()
  if (method !== DEFLATED) throw new Error(t(words.otherMethod, { method }))
  const iterator = pieces()
  const stream = new ReadableStream<Uint8Array<ArrayBuffer>>({
    async pull(controller) {
      const { done, value } = await iterator.next()
      if (done) controller.close()
      else controller.enqueue(value)
    },
  })
  const reader = stream.pipeThrough(new DecompressionStream('deflate-raw')).getReader()
  try {
    for (let next = await reader.read(); !next.done; next = await reader.read())
      yield next.value as Uint8Array<ArrayBuffer>
  } finally {
    void reader.cancel().catch(() => undefined)
  }
}

/** ISO 3309's CRC-32, as zip has it. */
const TABLE = Uint32Array.from({ length: 256 }, (_, n) => {
  let c = n
  for (let bit = 0; bit < 8; bit++) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1
  return c
})

export function crc32(bytes: Uint8Array, before = 0): number {
  let c = ~before
  for (let at = 0; at < bytes.length; at++) c = TABLE[(c ^ bytes[at]!) & 255]! ^ (c >>> 8)
  return ~c >>> 0
}
