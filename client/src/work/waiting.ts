/** A wait that survives a killed phone: it is counted from the entry that began it, never from the screen. */

interface Waited {
  minutes: number
  leftMs: number
  over: boolean
}

/**
 * How far a wait has come.
 *
 * @param begunAt `at` of the step.begun entry; a clock set back counts as nothing waited.
 */
export function waited(begunAt: string, now: number, lowMinutes: string): Waited {
  const gone = Math.max(0, now - Date.parse(begunAt))
  const whole = Number.isFinite(gone) ? gone : 0
  const leftMs = Math.max(0, Number(lowMinutes) * 60_000 - whole)
  return { minutes: Math.floor(whole / 60_000), leftMs, over: leftMs === 0 }
}

/** '9:05' */
export function clockWords(ms: number): string {
  const seconds = Math.ceil(ms / 1000)
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, '0')}`
}
