import type { Inside } from './inside'
import { keepSingle, putSingle, readSingle, single } from './singles'
import type { Trouble } from './types'

/** An alarm about the workshop's ledger that nobody has dealt with yet. */
export class LedgerAlarm {
  constructor(private readonly inside: Inside) {}

  read(): Promise<Trouble | null> {
    return readSingle(this.inside.db, 'alarm')
  }

  keep(alarm: Trouble): Promise<void> {
    return keepSingle(this.inside.db, 'alarm', alarm)
  }

  /** The one that was shown is dealt with. Returns what came meanwhile, which nobody has seen. */
  dismiss(shown: Trouble | null): Promise<Trouble | null> {
    return this.inside.db.change(['things'], async (tx) => {
      const alarm = await single(tx, 'alarm')
      if (alarm?.code !== shown?.code) return alarm
      await putSingle(tx, 'alarm', null)
      return null
    })
  }
}
