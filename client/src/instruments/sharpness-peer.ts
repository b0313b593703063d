/** What the differential test of `sharpness` calls. */
import type { PeerFunctions } from '../peer'
import { Gauge, type Quality } from './sharpness'

/** @param text base64 of the pixels, three bytes each */
function qualityOfPixels(width: number, height: number, text: string): Quality | null {
  const rgb = Uint8Array.from(atob(text), (char) => char.charCodeAt(0))
  const rgba = new Uint8ClampedArray(width * height * 4)
  for (let i = 0; i < width * height; i += 1) rgba.set([...rgb.subarray(3 * i, 3 * i + 3), 255], 4 * i)
  const gauge = Gauge.of(width, height)
  const strip = 37 * width * 4
  for (let from = 0; from < rgba.length; from += strip) gauge?.add(rgba.subarray(from, from + strip))
  return gauge?.quality() ?? null
}

export const sharpnessFunctions: PeerFunctions = { quality_of_pixels: qualityOfPixels }
