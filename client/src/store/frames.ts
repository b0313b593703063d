/**
 * The journal's form: one frame an act, `length (4 bytes, little-endian) CRC-32 (4) bytes`.
 * A frame that was not written to its end fails its sum, and so does one that was damaged later.
 */
import { crc32 } from './crc32'

const HEAD_BYTES = 8
/** Every act begins with one of these letters and a space (acts.ts): a cheap look before a sum is taken. */
const LETTERS = new Set(['D', 'L', 'V', 'P', 'E'].map((letter) => letter.charCodeAt(0)))

export function frameOf(text: string): Uint8Array<ArrayBuffer> {
  const bytes = new TextEncoder().encode(text)
  const frame = new Uint8Array(HEAD_BYTES + bytes.length)
  const head = new DataView(frame.buffer)
  head.setUint32(0, bytes.length, true)
  head.setUint32(4, crc32(bytes), true)
  frame.set(bytes, HEAD_BYTES)
  return frame
}

export interface Frames {
  texts: string[]
  /** Where the last whole frame ends: behind it is nothing, or what was being written when all went dark. */
  end: number
  /** Places before the end at which bytes make no frame. */
  damaged: number
}

export function readFrames(bytes: Uint8Array): Frames {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  const found: Frames = { texts: [], end: 0, damaged: 0 }
  let isLost = false
  for (let at = 0; at + HEAD_BYTES < bytes.length; ) {
    const text = textAt(bytes, view, at)
    if (text === null) {
      isLost = true
      at += 1
      continue
    }
    if (isLost) found.damaged += 1
    isLost = false
    at += HEAD_BYTES + view.getUint32(at, true)
    found.texts.push(text)
    found.end = at
  }
  return found
}

function textAt(bytes: Uint8Array, view: DataView, at: number): string | null {
  const length = view.getUint32(at, true)
  const start = at + HEAD_BYTES
  if (length < 2 || start + length > bytes.length) return null
  if (!LETTERS.has(bytes[start] as number) || bytes[start + 1] !== 0x20) return null
  const inside = bytes.subarray(start, start + length)
  return crc32(inside) === view.getUint32(at + 4, true) ? new TextDecoder().decode(inside) : null
}
