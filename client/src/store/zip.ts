/**
 * A zip file, stored and not packed: photos do not pack, and the rest is small.
 * Form: PKWARE APPNOTE 6.3, sections 4.3.7 (local header), 4.3.12 (central directory), 4.3.16 (end).
 */
import { crc32 } from './crc32'

export interface Member {
  name: string
  bytes: Uint8Array<ArrayBuffer>
}

/** 1980-01-01: the first day a zip can name. When it was written is said inside. */
const NO_DATE = 0x0021
/** Names are UTF-8. */
const FLAGS = 0x0800
const VERSION = 20
/** Beyond it the form needs its long fields, which this does not write. */
const MOST_BYTES = 0xffffffff

export class Zip {
  readonly #parts: BlobPart[] = []
  readonly #directory: Uint8Array<ArrayBuffer>[] = []
  #size = 0

  /** The bytes go into a `Blob` of their own, which a browser may put on its disk: memory holds one member. */
  add({ name, bytes }: Member): void {
    const shared = shareOf(bytes)
    const called = new TextEncoder().encode(name)
    const local = record(0x04034b50, [], shared, [called.length, 0])
    const outside = [called.length, 0, 0, 0, 0, 0, 0, this.#size & 0xffff, this.#size >>> 16]
    this.#directory.push(record(0x02014b50, [VERSION], shared, outside), called)
    this.#parts.push(local, called, new Blob([bytes]))
    this.#size += local.length + called.length + bytes.length
    if (this.#size > MOST_BYTES) throw new RangeError('the file would be longer than 4 GiB')
  }

  done(): Blob {
    const length = this.#directory.reduce((sum, part) => sum + part.length, 0)
    const count = this.#directory.length / 2
    const end = words(0x06054b50, [
      0,
      0,
      count,
      count,
      length & 0xffff,
      length >>> 16,
      this.#size & 0xffff,
      this.#size >>> 16,
      0,
    ])
    return new Blob([...this.#parts, ...this.#directory, end], { type: 'application/zip' })
  }
}

/** What both headers say: version, flags, method, time, date, sum, packed and whole length. */
function shareOf(bytes: Uint8Array): number[] {
  const crc = crc32(bytes)
  const length = [bytes.length & 0xffff, bytes.length >>> 16]
  return [VERSION, FLAGS, 0, 0, NO_DATE, crc & 0xffff, crc >>> 16, ...length, ...length]
}

const record = (mark: number, before: number[], shared: number[], after: number[]) =>
  words(mark, [...before, ...shared, ...after])

/** A four-byte mark and two-byte words, little-endian. */
function words(mark: number, values: number[]): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(4 + 2 * values.length)
  const view = new DataView(bytes.buffer)
  view.setUint32(0, mark, true)
  for (const [i, value] of values.entries()) view.setUint16(4 + 2 * i, value, true)
  return bytes
}
