/** Lots that were recalled. The desk, the audit and the bay ask here, so that none of them thinks otherwise. Pure. */
import type { Held } from '../store'
import { lotKey } from './spelling'

/** As it was stated: `lot` in the spelling of the recall, `at` by the clock of who stated it. */
export interface Recall { entry: string; lot: string; because: string; at: string }

/** Every recall that counts, in the order of the ledger. A statement by a device that may not make it says nothing. */
export function recallsOf(statements: readonly Held[]): Recall[] {
  return statements.flatMap(({ entry, standing }) =>
    entry.kind === 'lot.recalled' && standing !== 'doubted' ? [{ entry: entry.id, lot: entry.body.lot, because: entry.body.because, at: entry.at }] : [],
  )
}

/** The first recall of a lot, however it is written; null when nothing was stated. */
export const recallOf = (recalls: readonly Recall[], lot: string): Recall | null => recalls.find((each) => lotKey(each.lot) === lotKey(lot)) ?? null
