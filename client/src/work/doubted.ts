/** What tools that were found out tightened in a job, joined to its page as recalls are. Pure. */
import type { Body } from '../ledger/bodies'
import type { Held } from '../store'
import { counting } from './counting'
import { asks, tightened, type Tightened } from './found-out'
import { logEntries } from './log'
import { checksOf } from './tool-checks'

/** A reading with a tool that a check doubts and nobody has settled, and that check. */
export interface DoubtedReading {
  found: Tightened
  check: Body<'tool.checked'>
}

/** The worst first. The day of a reading is that of its device's own clock. */
export function doubtedIn(held: readonly Held[], statements: readonly Held[]): DoubtedReading[] {
  const stated = counting(statements).map(({ entry }) => entry)
  const said = new Map(
    stated.flatMap((entry) => (entry.kind === 'tool.checked' ? [[entry.id, entry.body] as const] : [])),
  )
  if (said.size === 0) return []
  const days = Object.fromEntries(held.map(({ entry }) => [entry.id, entry.at.slice(0, 10)]))
  return tightened(logEntries(held), days, checksOf(stated))
    .filter(asks)
    .map((found) => ({ found, check: said.get(found.check)! }))
}
