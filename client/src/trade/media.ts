/**
 * What kind of image a file is, by its first bytes: never by what it is called. Twin of
 * `server/twoturns/trade/media.py`, where the sources stand; `tests/vectors/media_types.json` holds both to it.
 */
export type MediaType = 'image/jpeg' | 'image/png' | 'image/webp' | 'image/heic'

export const HEAD_BYTES = 64
const HEIC = ['heic', 'heix', 'heim', 'heis', 'hevc', 'hevx']
/** As the first brand: how it is coded is not said by it. */
const HEIF = ['mif1', 'msf1']

/** Null: none of the four kinds that a photo may be. */
export function mediaType(file: Uint8Array): MediaType | null {
  const head = file.subarray(0, HEAD_BYTES)
  const text = (from: number, to: number) => String.fromCharCode(...head.subarray(from, to))
  if (text(0, 3) === '\xff\xd8\xff') return 'image/jpeg'
  if (text(0, 8) === '\x89PNG\r\n\x1a\n') return 'image/png'
  if (text(0, 4) === 'RIFF' && text(8, 14) === 'WEBPVP') return 'image/webp'
  if (text(4, 8) !== 'ftyp') return null
  return HEIF.includes(text(8, 12)) || brandsOf(head, text).some((brand) => HEIC.includes(brand))
    ? 'image/heic'
    : null
}

function brandsOf(head: Uint8Array, text: (from: number, to: number) => string): string[] {
  const end = Math.min(new DataView(head.buffer, head.byteOffset).getUint32(0), head.length)
  const brands = [text(8, 12)]
  for (let at = 16; at + 4 <= end; at += 4) brands.push(text(at, at + 4))
  return brands
}
