/** What the differential tests and the bench call of the pluck; sound comes as a WAV file in base64. */
import { estimate, type Pluck, type Range } from './pluck'
import { readWav } from './pluck-wav'

const soundOf = (wav: string) => readWav(Buffer.from(wav, 'base64')).samples

const pluckEstimate = (wav: string, near: Range | null): Pluck => estimate(soundOf(wav), near)

/** Milliseconds of processor time of the fastest of some estimates of one clip: others may share the machine. */
function timePluck(wav: string, near: Range | null, times: number): number {
  const samples = soundOf(wav)
  const measured = Array.from({ length: times }, () => {
    const from = process.cpuUsage()
    estimate(samples, near)
    return process.cpuUsage(from).user / 1_000
  })
  return Math.min(...measured)
}

export const pluckFunctions = { pluck_estimate: pluckEstimate, time_pluck: timePluck }
