/**
 * The camera inside the page, and the file field behind it.
 *
 * In the page first: opening the phone's own camera app can get the browser killed, and the photo with it.
 * The bytes that are kept are the bytes that came: nothing is drawn again except where the browser has no
 * other way to take a still.
 */

import { HEAD_BYTES, mediaType, type MediaType } from '../trade/media'
import { NothingToRead } from './refusal'
import type { Quality } from './sharpness'
import * as words from '../words/en/instruments/camera'
import { t } from '../words/message'

/** A picture as it will be kept, with what the entry says about it. */
export interface Picture {
  bytes: Blob
  /** By its first bytes, whatever the file calls itself. */
  type: MediaType
  width: number
  height: number
  /** `live` from this page's camera, `picked` from a file: a picked one may be old. */
  how: 'live' | 'picked'
  /** How sharp and bright it is, once that was measured and where it can be. */
  quality?: Quality
}

export interface CameraTrouble {
  message: string
  hint: string
}

export class NoPicture extends NothingToRead<CameraTrouble> {
  override name = 'NoPicture'
}

async function sizeOf(bytes: Blob): Promise<{ width: number; height: number }> {
  const bitmap = await createImageBitmap(bytes)
  const size = { width: bitmap.width, height: bitmap.height }
  bitmap.close()
  return size
}

/** Hears of the bytes of a shot before they are decoded here: what else is made of them need not wait for that. */
export type Seen = (bytes: Blob) => void

async function asPicture(bytes: Blob, how: Picture['how'], seen: Seen): Promise<Picture> {
  const type = mediaType(new Uint8Array(await bytes.slice(0, HEAD_BYTES).arrayBuffer()))
  if (type === null) {
    throw new NoPicture({
      message: t(words.notPicture),
      hint: t(words.notPictureHint),
    })
  }
  const typed = bytes.type === type ? bytes : new Blob([bytes], { type })
  seen(typed)
  try {
    return { bytes: typed, type, how, ...(await sizeOf(typed)) }
  } catch (cause) {
    // Few browsers can read HEIC; it is still evidence, and the record says 0 where the size is not known.
    if (type === 'image/heic') return { bytes: typed, type, how, width: 0, height: 0 }
    throw new NoPicture({ message: t(words.damaged), hint: t(words.takeAgain) }, cause)
  }
}

/** A file from the file field, checked. */
export const fromFile = (file: Blob, seen: Seen): Promise<Picture> => asPicture(file, 'picked', seen)

/** Chosen: more than any phone's video gives, so that each gives its most. */
const WISH: MediaStreamConstraints = {
  audio: false,
  video: { facingMode: { ideal: 'environment' }, width: { ideal: 4096 }, height: { ideal: 3072 } },
}

/** Chosen: below 4096 x 4096, above which iPhones draw nothing, without saying so. */
const MOST_DRAWN = 16_000_000

/** One image is all one colour when the drawing failed without an exception. */
function isBlank(context: OffscreenCanvasRenderingContext2D, width: number, height: number): boolean {
  const points = Array.from(
    { length: 64 },
    (_, i) => [((i % 8) + 0.5) / 8, (Math.floor(i / 8) + 0.5) / 8] as const,
  )
  const colours = points.map(([x, y]) =>
    context.getImageData(Math.floor(x * width), Math.floor(y * height), 1, 1).data.join(),
  )
  return new Set(colours).size === 1 && colours[0]?.endsWith(',0') === true
}

async function drawStill(video: HTMLVideoElement): Promise<Blob> {
  const scale = Math.min(1, Math.sqrt(MOST_DRAWN / (video.videoWidth * video.videoHeight)))
  const width = Math.round(video.videoWidth * scale)
  const height = Math.round(video.videoHeight * scale)
  const canvas = new OffscreenCanvas(width, height)
  const context = canvas.getContext('2d')
  if (!context)
    throw new NoPicture({
      message: t(words.notDrawn),
      hint: t(words.chooseFile),
    })
  context.drawImage(video, 0, 0, width, height)
  if (isBlank(context, width, height))
    throw new NoPicture({ message: t(words.emptyPicture), hint: t(words.takeAgain) })
  return canvas.convertToBlob({ type: 'image/jpeg', quality: 0.92 })
}

/** Chosen: several times what a camera takes that is slow to wake. */
const FIRST_FRAME_MS = 8_000

/** Whether a frame was shown in time. Browsers without the callback have one when the video has data. */
function hasFrame(video: HTMLVideoElement): Promise<boolean> {
  return new Promise((answer) => {
    const over = setTimeout(() => answer(false), FIRST_FRAME_MS)
    const seen = () => {
      clearTimeout(over)
      answer(true)
    }
    if ('requestVideoFrameCallback' in video) video.requestVideoFrameCallback(seen)
    else if ((video as HTMLVideoElement).readyState >= HTMLMediaElement.HAVE_CURRENT_DATA) seen()
    else (video as HTMLVideoElement).addEventListener('loadeddata', seen, { once: true })
  })
}

interface StillTaker {
  takePhoto(): Promise<Blob>
}
declare global {
  interface Window {
    ImageCapture?: new (track: MediaStreamTrack) => StillTaker
  }
}

/** An open camera. One for a session: a phone may ask again for each one opened. */
export class Camera {
  private constructor(private readonly stream: MediaStream) {}

  /** @throws {NoPicture} when there is no camera or it is not allowed: then the file field is the way. */
  static async open(): Promise<Camera> {
    const devices = navigator.mediaDevices as MediaDevices | undefined
    if (!devices?.getUserMedia) {
      throw new NoPicture({
        message: t(words.noCamera),
        hint: t(words.chooseFile),
      })
    }
    try {
      return new Camera(await devices.getUserMedia(WISH))
    } catch (cause) {
      const refused = cause instanceof DOMException && cause.name === 'NotAllowedError'
      throw new NoPicture(
        refused
          ? {
              message: t(words.notAllowed),
              hint: t(words.notAllowedHint),
            }
          : {
              message: t(words.notOpening),
              hint: t(words.closeOtherApps),
            },
        cause,
      )
    }
  }

  get #track(): MediaStreamTrack | undefined {
    return this.stream.getVideoTracks()[0]
  }

  /** A stream may die while the app is in the background; then it must be opened anew. */
  get alive(): boolean {
    const track = this.#track
    return track !== undefined && track.readyState === 'live' && !track.muted
  }

  /**
   * Show what it sees; resolves with the first frame, as before it there is nothing to take a picture of.
   *
   * @throws {NoPicture} when none comes
   */
  async show(video: HTMLVideoElement): Promise<void> {
    video.srcObject = this.stream
    await video.play()
    if (!(await hasFrame(video)))
      throw new NoPicture({
        message: t(words.showsNothing),
        hint: t(words.closeOtherApps),
      })
  }

  /** Whether the phone lets a page have the lamp beside the lens. */
  get hasLamp(): boolean {
    const can = this.#track?.getCapabilities?.() as { torch?: boolean } | undefined
    return can?.torch === true
  }

  /** The lamp beside the lens, where the phone lets a page have it. True when it is lit. */
  async lamp(lit: boolean): Promise<boolean> {
    try {
      await this.#track?.applyConstraints({ advanced: [{ torch: lit } as MediaTrackConstraintSet] })
    } catch {
      return false // no lamp: the picture is judged as it is
    }
    return (this.#track?.getSettings() as { torch?: boolean } | undefined)?.torch === true
  }

  /** Take a still: the phone's own full picture, else the frame that is on the screen. */
  async shoot(video: HTMLVideoElement, seen: Seen): Promise<Picture> {
    const track = this.#track
    if (track && window.ImageCapture) {
      try {
        return await asPicture(await new window.ImageCapture(track).takePhoto(), 'live', seen)
      } catch {
        // Several phones refuse a still while the preview runs; the frame on the screen is the next best.
      }
    }
    return asPicture(await drawStill(video), 'live', seen)
  }

  close(): void {
    for (const track of this.stream.getTracks()) track.stop()
  }
}
