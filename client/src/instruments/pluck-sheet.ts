/** What a reading by pluck keeps: the sheet and the three clips, enough to compute the value anew. */
import { EDITION, type Pluck } from './pluck'
import { type Heard, milliHz, reading, type Window } from './pluck-session'
import { writeWav } from './pluck-wav'

/** What the track says of itself: true where the browser works on the sound before we hear it. */
export interface Processing {
  echo: boolean
  noise: boolean
  gain: boolean
}

/** The microphone's own rate, Hz, and what is done to its sound. */
export interface Microphone {
  sampleRate: number
  processing: Processing
}

/** A reading as it is written: the value with its unit, the sheet, and the clips' files in its order. */
interface PluckReading {
  value: string
  unit: 'Hz'
  sheet: PluckSheet
  clips: Uint8Array<ArrayBuffer>[]
}

/** `saw[0]`: integers and decimals only. */
interface PluckSheet extends Window {
  v: 1
  by: 'pluck'
  edition: number
  sample_rate: number
  processing: Processing
  plucks: PluckRow[]
}

interface PluckRow {
  clip: string
  hz: string
  q: string
  b: string
  score: string
  strength: string
  lags: string[]
  blind: string
}

/** @param taken the three plucks of a session that ended with a value */
export async function pluckReading(
  taken: readonly Heard[],
  window: Window,
  microphone: Microphone,
): Promise<PluckReading> {
  const clips = taken.map(({ clip }) => writeWav(clip))
  const plucks = await Promise.all(taken.map(async ({ pluck }, i) => row(pluck, await sha256(clips[i]!))))
  const { sampleRate: sample_rate, processing } = microphone
  const { low, high, nominal } = window
  const sheet: PluckSheet = {
    v: 1,
    by: 'pluck',
    edition: EDITION,
    low,
    high,
    nominal,
    sample_rate,
    processing,
    plucks,
  }
  return { value: reading(taken.map(({ pluck }) => milliHz(pluck))).value, unit: 'Hz', sheet, clips }
}

function row(pluck: Pluck, clip: string): PluckRow {
  const { q, b, score } = pluck.comb!
  return {
    clip,
    hz: decimal(milliHz(pluck) / 1_000, 3),
    q: decimal(q, 2),
    b: decimal(b, 5),
    score: decimal(score, 4),
    strength: decimal(pluck.strength, 1),
    lags: pluck.lags.map((hz) => decimal(hz, 3)),
    blind: decimal(pluck.blind!.hz, 3),
  }
}

/** Without a minus before nothing: the ledger knows no such number. */
function decimal(value: number, places: number): string {
  const text = value.toFixed(places)
  return Number(text) === 0 ? text.replace('-', '') : text
}

async function sha256(bytes: Uint8Array<ArrayBuffer>): Promise<string> {
  const hash = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes))
  return Array.from(hash, (byte) => byte.toString(16).padStart(2, '0')).join('')
}
