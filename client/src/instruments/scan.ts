/**
 * Reads the codes on labels, plates and tags off the camera: Data Matrix, QR and linear ones, without a line.
 *
 * The browser's own detector where it knows Data Matrix, else a decoder in a worker (zxing-cpp as WebAssembly),
 * which is part of the app's files. A code counts when two frames in a row give the same text: a linear code
 * with a weak check digit is now and then read wrong once, hardly twice alike.
 *
 *     const scanner = await Scanner.open()
 *     const text = await scanner.read(video)    // null: closed before anything was read
 *     scanner.close()
 */

import type { Found, Frame } from './scan-frame'

const FORMATS = ['data_matrix', 'qr_code', 'code_128', 'code_39', 'ean_13', 'ean_8', 'upc_a', 'itf'] as const
/** Chosen: enough pixels for a code that fills a third of the picture; more only take longer. */
const FRAME_PX = 1280
/** Chosen, between two looks: less than a hand needs to move the phone, and the decoder is not always at work. */
const REST_MS = 120

interface NativeDetector {
  detect(frame: ImageBitmap): Promise<{ rawValue: string }[]>
}
interface NativeDetectorClass {
  new (options: { formats: readonly string[] }): NativeDetector
  getSupportedFormats(): Promise<string[]>
}

interface Decoder {
  texts(frame: ImageBitmap): Promise<string[]>
  close(): void
}

/** Says a text once it was seen in two looks in a row. Of several codes in a frame the first that was there before. */
export class TwiceAlike {
  #before: readonly string[] = []

  push(texts: readonly string[]): string | null {
    const again = texts.find((text) => text !== '' && this.#before.includes(text)) ?? null
    this.#before = texts
    return again
  }
}

async function native(): Promise<Decoder | null> {
  const detector = (globalThis as { BarcodeDetector?: NativeDetectorClass }).BarcodeDetector
  if (!detector) return null
  const known: string[] = await detector.getSupportedFormats().catch(() => [])
  if (!known.includes('data_matrix')) return null
  const own = new detector({ formats: FORMATS.filter((format) => known.includes(format)) })
  return {
    texts: async (frame) => (await own.detect(frame)).map(({ rawValue }) => rawValue),
    close: () => undefined,
  }
}

function ofWorker(): Decoder {
  const worker = new Worker(new URL('./scan.worker.ts', import.meta.url), { type: 'module' })
  const waiting = new Map<number, { done: (texts: string[]) => void; failed: (why: Error) => void }>()
  let next = 0
  worker.addEventListener('message', ({ data }: MessageEvent<Found>) => {
    const asked = waiting.get(data.id)
    waiting.delete(data.id)
    if ('failed' in data) asked?.failed(new Error(data.failed))
    else asked?.done(data.texts)
  })
  worker.addEventListener('error', ({ message }) => {
    for (const { failed } of waiting.values()) failed(new Error(message))
    waiting.clear()
  })
  return {
    texts: (frame) =>
      new Promise((done, failed) => {
        waiting.set(next, { done, failed })
        worker.postMessage({ id: next, frame } satisfies Frame, [frame])
        next += 1
      }),
    close: () => worker.terminate(),
  }
}

export class Scanner {
  #closed = false
  private constructor(private readonly decoder: Decoder) {}

  static async open(): Promise<Scanner> {
    return new Scanner((await native()) ?? ofWorker())
  }

  /**
   * Look at a playing video until a code is read; null when the scanner was closed before.
   *
   * @throws {Error} when the decoder cannot work in this browser: then the code is typed
   */
  async read(video: HTMLVideoElement): Promise<string | null> {
    const twice = new TwiceAlike()
    while (!this.#closed) {
      const text = video.videoWidth > 0 ? twice.push(await this.#look(video)) : null
      if (text !== null && !this.#closed) return text
      await new Promise((rested) => setTimeout(rested, REST_MS))
    }
    return null
  }

  async #look(video: HTMLVideoElement): Promise<string[]> {
    const scale = Math.min(1, FRAME_PX / Math.max(video.videoWidth, video.videoHeight))
    const frame = await createImageBitmap(video, {
      resizeWidth: Math.round(video.videoWidth * scale),
      resizeHeight: Math.round(video.videoHeight * scale),
    })
    try {
      return await this.decoder.texts(frame)
    } finally {
      frame.close() // a frame that went to the worker is closed there; here it is an empty one by then
    }
  }

  close(): void {
    this.#closed = true
    this.decoder.close()
  }
}
