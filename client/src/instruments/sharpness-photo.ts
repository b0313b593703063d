/** A photo's bytes, decoded by the browser and measured a strip at a time: the screen stays alive, and no phone's limit on canvases is met. */
import { Gauge, type Quality } from './sharpness'

/** Chosen, rows drawn at once: half a million pixels of a common photo. */
const STRIP = 128
/** Chosen, most of one frame of the screen: so long may a strip after the other be measured before the screen gets its turn, milliseconds. */
const TURN_MS = 12

const pause = () => new Promise<void>((go) => setTimeout(go))

/**
 * The figures for `photo.taken`, or null where the picture cannot be decoded here or is too small: then the entry has none.
 * To be called once the picture is shown and kept; it takes well under a second and may be awaited or not.
 */
export async function photoQuality(photo: Blob): Promise<Quality | null> {
  // As the file has its colours: a browser that converts them would measure another picture than the server.
  const bitmap = await createImageBitmap(photo, { colorSpaceConversion: 'none' }).catch(() => null)
  if (bitmap === null) return null
  try {
    return await measure(bitmap)
  } finally {
    bitmap.close()
  }
}

async function measure(bitmap: ImageBitmap): Promise<Quality | null> {
  const { width, height } = bitmap
  const gauge = Gauge.of(width, height)
  const context = new OffscreenCanvas(width, STRIP).getContext('2d', { willReadFrequently: true })
  if (gauge === null || context === null) return null
  let began = performance.now()
  for (let top = 0; top < height; top += STRIP) {
    const rows = Math.min(STRIP, height - top)
    context.drawImage(bitmap, 0, top, width, rows, 0, 0, width, rows)
    const { data } = context.getImageData(0, 0, width, rows)
    if (data[3] === 0) return null // nothing was drawn, and the browser did not say so
    gauge.add(data)
    if (performance.now() - began > TURN_MS) {
      await pause()
      began = performance.now()
    }
  }
  await pause()
  return gauge.quality()
}
