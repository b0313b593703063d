/** A promised time between the field it is typed into, by the clock on the wall, and the entry, by UTC. Pure. */

const two = (n: number): string => String(n).padStart(2, '0')

/** As a field of date and time has it; empty for what is no time. */
export function localTime(at: string): string {
  const time = new Date(at)
  return Number.isNaN(time.getTime())
    ? ''
    : `${time.getFullYear()}-${two(time.getMonth() + 1)}-${two(time.getDate())}T${two(time.getHours())}:${two(time.getMinutes())}`
}

/** What was typed as an entry has it, or null; what is past can be promised to nobody. */
export function promiseOf(typed: string, now: number): { at: string | null; isPast: boolean } {
  const ms = typed === '' ? NaN : new Date(typed).getTime()
  if (Number.isNaN(ms)) return { at: null, isPast: false }
  return { at: new Date(ms).toISOString(), isPast: ms < now }
}
