import type { Inside } from './inside'
import { keepSingle, readSingle } from './singles'
import type { Trouble } from './types'

/** An alarm about the workshop's ledger that nobody has dealt with yet. */
export class LedgerAlarm {
  constructor(private readonly inside: Inside) {}

  read(): Promise<Trouble | null> {
    return readSingle(this.inside.db, 'alarm')
  }

  keep(alarm: Trouble | null): Promise<void> {
    return keepSingle(this.inside.db, 'alarm', alarm)
  }
}
