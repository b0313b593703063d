/**
 * Sound files: the clip that is kept (48 kHz, one channel, 16 bit), and what the command line reads.
 *
 * The form is RIFF/WAVE. Sources: S1, Multimedia Programming Interface and Data Specifications 1.0, 1991. S2, RFC 2361:
 * the registered kinds of sound. S3, Windows' mmreg.h: WAVE_FORMAT_EXTENSIBLE, which came after both.
 */
import { CLIP_HZ } from './pluck-front'

/** By definition (S1): RIFF, size, WAVE, a format chunk of 16, and the head of the data. */
const HEADER = 44
const PCM = 1
/** S2 */
const FLOAT = 3
/** S3 */
const EXTENSIBLE = 0xfffe

/** A file that is no WAV, or of a kind that is not read: `message` is the fact, `hint` what to do. */
export class BadWav extends Error {
  constructor(
    message: string,
    readonly hint: string,
  ) {
    super(message)
    this.name = 'BadWav'
  }
}

/** Samples as 16-bit integers: what is kept is what was judged. */
export function quantized(samples: ArrayLike<number>): Int16Array<ArrayBuffer> {
  const whole = new Int16Array(samples.length)
  for (let i = 0; i < whole.length; i++)
    whole[i] = Math.max(-32_768, Math.min(32_767, Math.round(samples[i]! * 32_768)))
  return whole
}

/** The same with a full scale of 1, as `readWav` gives them. */
export function unquantized(whole: Int16Array): Float64Array {
  const samples = new Float64Array(whole.length)
  for (let i = 0; i < whole.length; i++) samples[i] = whole[i]! / 32_768
  return samples
}

/** A clip's file. */
export function writeWav(samples: Int16Array): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(HEADER + 2 * samples.length)
  const view = new DataView(bytes.buffer)
  const text = (at: number, word: string) => {
    for (const [i, letter] of [...word].entries()) view.setUint8(at + i, letter.charCodeAt(0))
  }
  text(0, 'RIFF')
  view.setUint32(4, bytes.length - 8, true)
  text(8, 'WAVEfmt ')
  view.setUint32(16, 16, true)
  view.setUint16(20, PCM, true)
  view.setUint16(22, 1, true)
  view.setUint32(24, CLIP_HZ, true)
  view.setUint32(28, 2 * CLIP_HZ, true)
  view.setUint16(32, 2, true)
  view.setUint16(34, 16, true)
  text(36, 'data')
  view.setUint32(40, 2 * samples.length, true)
  for (const [i, sample] of samples.entries()) view.setInt16(HEADER + 2 * i, sample, true)
  return bytes
}

interface Wav {
  rateHz: number
  samples: Float64Array
}

interface Form {
  kind: number
  channels: number
  rateHz: number
  bits: number
}

/** Read a WAV of 16, 24 or 32 bits or 32-bit float; of several channels the mean. @throws {BadWav} */
export function readWav(bytes: Uint8Array): Wav {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  const { form, data } = chunksOf(view)
  const read = reader(form)
  const width = form.bits / 8
  const frames = Math.floor(data.byteLength / (width * form.channels))
  const samples = new Float64Array(frames)
  for (let i = 0; i < frames; i++) {
    for (let channel = 0; channel < form.channels; channel++) {
      samples[i]! += read(data, (i * form.channels + channel) * width) / form.channels
    }
  }
  if (samples.some((value) => !Number.isFinite(value)))
    throw new BadWav('The file has samples that are not numbers.', 'Record it again.')
  return { rateHz: form.rateHz, samples }
}

function chunksOf(view: DataView): { form: Form; data: DataView } {
  const name = (at: number) => String.fromCharCode(...[0, 1, 2, 3].map((i) => view.getUint8(at + i)))
  if (view.byteLength < HEADER || name(0) !== 'RIFF' || name(8) !== 'WAVE') {
    throw new BadWav('The file is no WAV file.', 'Give a WAV file, 48 kHz, one channel, 16 bit.')
  }
  let form: Form | null = null
  for (let at = 12; at + 8 <= view.byteLength; ) {
    const size = Math.min(view.getUint32(at + 4, true), view.byteLength - at - 8)
    const chunk = new DataView(view.buffer, view.byteOffset + at + 8, size)
    if (name(at) === 'fmt ' && size >= 16) form = formOf(chunk)
    if (name(at) === 'data' && form) return { form, data: chunk }
    at += 8 + size + (size & 1)
  }
  throw new BadWav('The WAV file has no sound in it.', 'Record it again.')
}

function formOf(chunk: DataView): Form {
  const tag = chunk.getUint16(0, true)
  const kind = tag === EXTENSIBLE && chunk.byteLength >= 26 ? chunk.getUint16(24, true) : tag
  return {
    kind,
    channels: chunk.getUint16(2, true),
    rateHz: chunk.getUint32(4, true),
    bits: chunk.getUint16(14, true),
  }
}

function reader({ kind, channels, rateHz, bits }: Form): (data: DataView, at: number) => number {
  if (channels > 0 && rateHz >= 8_000 && rateHz <= 192_000) {
    if (kind === FLOAT && bits === 32) return (data, at) => data.getFloat32(at, true)
    if (kind === PCM && bits === 16) return (data, at) => data.getInt16(at, true) / 32_768
    if (kind === PCM && bits === 24)
      return (data, at) => (data.getInt8(at + 2) * 65_536 + data.getUint16(at, true)) / 8_388_608
    if (kind === PCM && bits === 32) return (data, at) => data.getInt32(at, true) / 2_147_483_648
  }
  throw new BadWav(
    `The WAV file is of a kind that is not read: format ${kind}, ${bits} bit, ${channels} channels, ${rateHz} Hz.`,
    'Save it as 48 kHz, one channel, 16 bit.',
  )
}
