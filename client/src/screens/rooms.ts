/** What every screen is handed: `Bay`, `Desk` and `Audit` take these as their props. */
import type { Store } from '../store'
import type { Sync } from '../sync'

export interface Rooms {
  store: Store
  sync: Sync
}
