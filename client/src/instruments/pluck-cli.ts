/**
 * `npm run -s pluck -- FILE.wav [LO HI]`: the pitch of the span plucked in a sound file, by the phone's own code.
 *
 * Prints the frequency in Hz, or `reject: REASON`. LO and HI are the limits, Hz, of where the bundle wants it. Exits 2
 * where the file or the words cannot be read.
 */
import { readFileSync } from 'node:fs'
import { resolve } from 'node:path'
import { estimate, nearRange, type Range } from './pluck'
import { CLIP_HZ } from './pluck-front'
import { Resampler } from './pluck-rate'
import { troubleOf } from './pluck-session'
import { BadWav, readWav } from './pluck-wav'

class Unreadable extends Error {}

const USAGE = 'Usage: npm run -s pluck -- FILE.wav [LO HI]   (LO and HI: the limits in Hz, LO below HI)'

function rangeOf(words: string[]): Range | null {
  if (words.length === 0) return null
  const [low, high] = words.map(Number) as [number, number]
  if (words.length !== 2 || !(low > 0 && high > low && high < Infinity)) throw new Unreadable(USAGE)
  return nearRange(low, high, (low + high) / 2)
}

/** npm changes to its own folder; the path was meant from where it was called. */
function soundOf(path: string): Float64Array {
  try {
    const { rateHz, samples } = readWav(readFileSync(resolve(process.env['INIT_CWD'] ?? '', path)))
    return rateHz === CLIP_HZ ? samples : new Resampler(rateHz).push(samples)
  } catch (cause) {
    if (cause instanceof BadWav) throw new Unreadable(`${path}: ${cause.message} ${cause.hint}`)
    if ((cause as NodeJS.ErrnoException).code === undefined) throw cause
    throw new Unreadable(
      `${path}: the file cannot be opened (${(cause as NodeJS.ErrnoException).code}). Name a WAV file that is there.`,
    )
  }
}

/** Returns what the process exits with. */
export function main([path, ...limits]: string[]): number {
  try {
    if (path === undefined) throw new Unreadable(USAGE)
    const near = rangeOf(limits)
    const pluck = estimate(soundOf(path), near)
    console.log(
      pluck.reject
        ? `reject: ${pluck.reject}: ${troubleOf(pluck).message} ${troubleOf(pluck).hint}`
        : pluck.comb!.hz.toFixed(2),
    )
    return 0
  } catch (cause) {
    if (!(cause instanceof Unreadable)) throw cause
    console.error(cause.message)
    return 2
  }
}
