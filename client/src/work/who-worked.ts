/** Who wrote in a job, by the devices' own clocks. Pure; days are ISO dates, UTC as entries state them. */
import type { Held } from '../store'
import { counting } from './counting'

export interface Worked {
  person: string
  from: string
  to: string
}

/** Persons in the order in which they began, with the first and the last day. A doubted entry is nobody's work. */
export function whoWorked(held: readonly Held[]): Worked[] {
  const found = new Map<string, Worked>()
  for (const { entry } of counting(held)) {
    const day = entry.at.slice(0, 10)
    const known = found.get(entry.person)
    const [from = day, , to = day] = [known?.from ?? day, day, known?.to ?? day].sort()
    found.set(entry.person, { person: entry.person, from, to })
  }
  return [...found.values()].sort((a, b) => (a.from < b.from ? -1 : a.from > b.from ? 1 : 0))
}
