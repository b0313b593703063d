/** The decoder's worker: takes one frame after the other, answers the texts it read. */
import { prepareZXingModule, readBarcodes, type ReaderOptions } from 'zxing-wasm/reader'
import wasm from 'zxing-wasm/reader/zxing_reader.wasm?url'
import type { Found, Frame } from './scan-frame'

declare const self: DedicatedWorkerGlobalScope

/** Chosen: more codes than a label has, so that all of them are seen. */
const OPTIONS: ReaderOptions = {
  formats: ['DataMatrix', 'QRCode', 'Code128', 'Code39', 'EAN13', 'EAN8', 'UPCA', 'ITF'],
  maxNumberOfSymbols: 4,
  textMode: 'Plain',
}
/** Symbology identifiers of GS1 text (GS1 General Specifications, 5.1.3): where the decoder knows, the reader is told. */
const GS1 = new Set([']C1', ']d2', ']Q3', ']e0'])

// The file is the app's own and precached; the decoder would else fetch it from elsewhere.
const ready = prepareZXingModule({ overrides: { locateFile: () => wasm }, fireImmediately: true })

function pixels(frame: ImageBitmap): ImageData {
  const canvas = new OffscreenCanvas(frame.width, frame.height)
  const context = canvas.getContext('2d', { willReadFrequently: true }) as OffscreenCanvasRenderingContext2D
  context.drawImage(frame, 0, 0)
  return context.getImageData(0, 0, frame.width, frame.height)
}

async function answer({ id, frame }: Frame): Promise<Found> {
  try {
    await ready
    const found = await readBarcodes(pixels(frame), OPTIONS)
    return {
      id,
      texts: found.map(
        ({ text, symbologyIdentifier }) => (GS1.has(symbologyIdentifier) ? symbologyIdentifier : '') + text,
      ),
    }
  } catch (error) {
    return { id, failed: String(error) }
  } finally {
    frame.close()
  }
}

self.addEventListener('message', ({ data }: MessageEvent<Frame>) => {
  void answer(data).then((found) => self.postMessage(found))
})
