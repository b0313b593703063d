/** UUIDv7 (RFC 9562 section 5.7): ids that sort by the time they were made. */
import { hex } from './base64url'

/**
 * @param ms The clock, Unix milliseconds. Out of 48 bits is taken into them: an id need not tell the time.
 * @param random 10 random bytes.
 */
export function uuid7(ms: number, random: Uint8Array): string {
  const clock = Math.floor(Math.min(Math.max(Number.isNaN(ms) ? 0 : ms, 0), 2 ** 48 - 1))
  const bytes = new Uint8Array(16)
  const view = new DataView(bytes.buffer)
  view.setUint16(0, Math.floor(clock / 2 ** 32))
  view.setUint32(2, clock % 2 ** 32)
  bytes.set(random.subarray(0, 10), 6)
  bytes[6] = 0x70 | (bytes[6]! & 0x0f) // version
  bytes[8] = 0x80 | (bytes[8]! & 0x3f) // variant
  const text = hex(bytes)
  return [text.slice(0, 8), text.slice(8, 12), text.slice(12, 16), text.slice(16, 20), text.slice(20)].join(
    '-',
  )
}
