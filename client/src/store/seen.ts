/** How far this phone has seen the workshop's ledger, and the keys that led to the one in force. */
import { EDITION } from '../ledger/bodies'

/** What the phone has seen of the workshop's ledger. */
export interface Seen {
  /** Next index to ask for. */
  cursor: number
  /** Newest checkpoint that was signed by the pinned key, as text; null before the first. */
  checkpoint: string | null
  /**
   * A job that one of several pages told of as open may have ended while the others came: the ends since here, where
   * the ledger stood at the first of them, are still to be asked for. Absent or null: none are.
   */
  began?: number | null
  size: number
  /** Base64, as in the checkpoint. */
  root: string
  /** The edition that this app could read when it was given all that lies before the cursor; absent: the first. */
  reads?: number
  /** A newer app asks for the ledger once more, for what it was not given before: from this index on. */
  again?: number | null
  /** The newest head that was shown to contain all that came before it. */
  proven?: { size: number; root: string }
}

export const nothingSeen: Seen = { cursor: 0, checkpoint: null, size: 0, root: '', reads: EDITION }

export interface Followed {
  records: { index: number; record: string }[]
  isStale?: true
}
