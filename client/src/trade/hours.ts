/** How long jobs took, out of the times of their own entries. The twin of `server/twoturns/trade/hours.py`, which says more. */

/** Longer than this between two entries, and nobody was at it. */
export const PAUSE_MINUTES = 60

/** Minutes of a job: worked, and in pauses. */
export interface Spent {
  worked: number
  paused: number
}

/** What a job took, from the times of its entries in ms, in any order. */
export function spent(atMs: readonly number[]): Spent {
  const times = [...atMs].sort((a, b) => a - b)
  const gaps = times.slice(1).map((later, i) => (later - times[i]!) / 60_000)
  const sum = (some: number[]) => some.reduce((all, gap) => all + gap, 0)
  return {
    worked: sum(gaps.filter((gap) => gap <= PAUSE_MINUTES)),
    paused: sum(gaps.filter((gap) => gap > PAUSE_MINUTES)),
  }
}

/** The middle of what jobs took, in minutes; null for none. */
export function usualMinutes(jobs: readonly number[]): number | null {
  if (jobs.length === 0) return null
  const sorted = [...jobs].sort((a, b) => a - b)
  const half = sorted.length >> 1
  return sorted.length % 2 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2
}
