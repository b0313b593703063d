/**
 * The microphone, listening for plucks.
 *
 *     let session = NEW_SESSION
 *     const listening = await listen(nearRange(60, 80, 70), (event) => {
 *       if (event.kind === 'level') show(event.db)
 *       else if (event.kind === 'lost') offer(event.trouble)
 *       else session = take(session, event, window)      // session.trouble, session.taken.length, session.end
 *     })                                                 // throws NoMicrophone: offer the next way in
 *     ...
 *     await listening.close()                            // always: it frees the microphone
 *     const { value, sheet, clips } = await pluckReading(session.taken, window, listening.microphone)
 *
 * Call it from a tap: a browser starts no sound without one. The browser's own work on the sound is asked to be off:
 * with it a steady 100 Hz tone came back at a third of its level, with hundreds of jumps. What the track then
 * says is kept with the reading, and `warning` has words for it.
 */
import type { Range } from './pluck'
import type { Trouble } from './pluck-session'
import type { Microphone, Processing } from './pluck-sheet'
import type { Begin, WatchEvent } from './pluck-watch'
import { NothingToRead } from './refusal'
import workletUrl from './pluck-worklet.ts?worker&url'
import * as words from '../words/en/instruments/pluck-listen'
import { t } from '../words/message'

export type ListenEvent = WatchEvent | { kind: 'lost'; trouble: Trouble }

export interface Listening {
  readonly microphone: Microphone
  /** Set where the browser works on the sound all the same. */
  readonly warning: Trouble | null
  /** Frees the microphone; may be called twice. */
  close(): Promise<void>
}

export class NoMicrophone extends NothingToRead<Trouble> {
  override name = 'NoMicrophone'
}

const ANOTHER_WAY = t(words.anotherWay)

const LOST: Trouble = {
  code: 'lost',
  message: t(words.lost),
  hint: t(words.lostHint, { anotherWay: ANOTHER_WAY }),
}
const PROCESSED: Trouble = {
  code: 'processed',
  message: t(words.processed),
  hint: t(words.processedHint, { anotherWay: ANOTHER_WAY }),
}

const SILENT: Trouble = {
  code: 'silent',
  message: t(words.silent),
  hint: t(words.silentHint, { anotherWay: ANOTHER_WAY }),
}
/** A microphone that is switched off by the phone gives nothing but zeros. Chosen: so many levels in a row, 3 s. */
const SILENT_LEVELS = 60
/** By definition: just above what the watch tells of zeros, -100 dB. */
const SILENT_DB = -99
/** A browser that wants a tap first never answers. Chosen: long beyond one that does. */
const PATIENCE_MS = 3_000

const WISH: MediaStreamConstraints = {
  video: false,
  audio: {
    echoCancellation: false,
    noiseSuppression: false,
    autoGainControl: false,
    channelCount: { ideal: 1 },
  },
}

/** Open the microphone and tell of each pluck near a range. @throws {NoMicrophone} */
export async function listen(near: Range | null, tell: (event: ListenEvent) => void): Promise<Listening> {
  const stream = await openMicrophone()
  const [track] = stream.getAudioTracks() as [MediaStreamTrack]
  const context = new AudioContext()
  const worker = new Worker(new URL('./pluck.worker.ts', import.meta.url), { type: 'module' })
  let isOpen = true
  const close = async (): Promise<void> => {
    if (!isOpen) return
    isOpen = false
    track.stop()
    worker.terminate()
    await context.close()
  }
  const lost = (trouble: Trouble): void => {
    if (!isOpen) return
    tell({ kind: 'lost', trouble })
    void close()
  }
  const isSilent = silence()
  try {
    worker.onmessage = ({ data }: MessageEvent<WatchEvent>) => {
      tell(data)
      if (isSilent(data)) lost(SILENT)
    }
    worker.onerror = () => lost(LOST)
    track.onended = () => lost(LOST)
    await connect(context, stream, worker, near)
    // A call, or another app, stops the sound without ending the track.
    context.onstatechange = () => void (context.state !== 'running' && lost(LOST))
  } catch (cause) {
    await close()
    throw new NoMicrophone(
      {
        code: 'no-sound',
        message: t(words.noSound),
        hint: t(words.noSoundHint, { anotherWay: ANOTHER_WAY }),
      },
      cause,
    )
  }
  const microphone = { sampleRate: context.sampleRate, processing: processingOf(track.getSettings()) }
  return { microphone, warning: isProcessed(microphone.processing) ? PROCESSED : null, close }
}

/** True at the event that makes it certain that no sound will come. */
function silence(): (event: WatchEvent) => boolean {
  let levels = 0
  return (event) => {
    if (event.kind !== 'level' || levels >= SILENT_LEVELS) return false
    levels = event.db > SILENT_DB ? Infinity : levels + 1
    return levels === SILENT_LEVELS
  }
}

async function openMicrophone(): Promise<MediaStream> {
  const devices = navigator.mediaDevices as MediaDevices | undefined
  if (!devices?.getUserMedia) {
    throw new NoMicrophone({
      code: 'no-microphone',
      message: t(words.noMicrophone),
      hint: t(words.noMicrophoneHint),
    })
  }
  try {
    return await devices.getUserMedia(WISH)
  } catch (cause) {
    throw new NoMicrophone(troubleOf(cause), cause)
  }
}

function troubleOf(cause: unknown): Trouble {
  const name = cause instanceof DOMException ? cause.name : ''
  if (name === 'NotAllowedError' || name === 'SecurityError') {
    return {
      code: 'refused',
      message: t(words.refused),
      hint: t(words.refusedHint, { anotherWay: ANOTHER_WAY }),
    }
  }
  if (name === 'NotFoundError') {
    return {
      code: 'no-microphone',
      message: t(words.noneFound),
      hint: t(words.noMicrophoneHint),
    }
  }
  return {
    code: 'in-use',
    message: t(words.inUse),
    hint: t(words.inUseHint, { anotherWay: ANOTHER_WAY }),
  }
}

/** Microphone to sound thread, sound thread to worker. */
async function connect(
  context: AudioContext,
  stream: MediaStream,
  worker: Worker,
  near: Range | null,
): Promise<void> {
  await context.audioWorklet.addModule(workletUrl)
  const source = context.createMediaStreamSource(stream)
  const pieces = new AudioWorkletNode(context, 'pieces', { channelCount: 1, channelCountMode: 'explicit' })
  const { port1, port2 } = new MessageChannel()
  const begin: Begin = { port: port2, rateHz: context.sampleRate, near }
  worker.postMessage(begin, [port2])
  pieces.port.postMessage(port1, [port1])
  // It puts out silence; without a way to the loudspeaker some browsers do not run it.
  source.connect(pieces).connect(context.destination)
  let timer = 0
  const late = new Promise((_, reject) => {
    timer = window.setTimeout(() => reject(new Error('the sound thread does not start')), PATIENCE_MS)
  })
  await Promise.race([context.resume(), late]).finally(() => window.clearTimeout(timer))
}

/** False only where the track says so. */
function processingOf(settings: MediaTrackSettings): Processing {
  const { echoCancellation, noiseSuppression, autoGainControl } = settings
  return {
    echo: echoCancellation !== false,
    noise: noiseSuppression !== false,
    gain: autoGainControl !== false,
  }
}

const isProcessed = ({ echo, noise, gain }: Processing): boolean => echo || noise || gain
