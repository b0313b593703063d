/** What the differential tests call in this room. */
import type { PeerFunctions } from '../peer'
import { parseEntry } from '../ledger/entry'
import { thumbprint } from '../ledger/keys'
import { erasedBy, hiddenBy } from './erasures'
import { Roster } from './roster'

export const peerFunctions: PeerFunctions = {
  /** What a roster knows after these lines, at the indices 0, 1, 2 and so on; rights at the first `places` of them. */
  rosterFacts: async (workshop: string, lines: string[], places: number) => {
    const roster = new Roster(workshop)
    const entries = await Promise.all(lines.map(parseEntry))
    for (const [index, entry] of entries.entries()) await roster.apply(index, entry)
    const { keys, commitments, recoveries } = roster.succession()
    return {
      keys,
      commitments,
      recoveries: recoveries.map(({ index, size }) => [index, size]),
      rights: await rights(roster, places),
    }
  },
  /** What a phone lets go of, and what it hides, after these lines, sorted. */
  erasures: async (workshop: string, lines: string[]) => {
    const roster = new Roster(workshop)
    const said = (await Promise.all(lines.map(parseEntry))).map((entry, index) => ({ entry, index }))
    for (const { entry, index } of said) await roster.apply(index, entry)
    return {
      erased: [...new Set(erasedBy(roster, said))].sort(),
      hidden: [...new Set(hiddenBy(roster, said))].sort(),
    }
  },
}

/** Where each key had its right, by its name; what never had one is not named. */
async function rights(roster: Roster, places: number): Promise<Record<string, number[]>> {
  const said: Record<string, number[]> = {}
  for (const { key, from, until } of roster.known()) {
    if (from > until) continue
    said[await thumbprint(key)] = Array.from({ length: places }, (_, n) => n).filter(
      (n) => from <= n && n <= until,
    )
  }
  return said
}
