/** *In the workshop* or *backed up*: worked out from places in the ledger, by one rule for everything. */
import type { Place } from './types'

/** What the workshop has said of its backups, as this phone has checked it. */
export interface Backups {
  /** Highest `size` of a `backup.made`. */
  made: number
  outside: { size: number; until: string }[]
}

export const noBackups: Backups = { made: 0, outside: [] }

/** How many of the ledger's first records a backup covers now; `now` in the form of `at`. */
export function backedUp(backups: Backups, now: string): number {
  const valid = backups.outside.filter((said) => said.until >= now).map((said) => said.size)
  return Math.max(backups.made, ...valid)
}

/** `index` is that of the entry itself, or of the `blob.kept` that names the blob. */
export function placeOf(index: number | null | undefined, backedUpTo: number): Place {
  if (index === null || index === undefined) return 'phone'
  return index < backedUpTo ? 'backup' : 'workshop'
}
