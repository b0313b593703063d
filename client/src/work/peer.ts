/** What the differential tests call in this room. */
import type { PeerFunctions } from '../peer'
import { inEngine } from './recalls'
import { severityOf } from './severity'
import { lotKey, toolKey } from './spelling'

export const peerFunctions: PeerFunctions = {
  lot_key: lotKey,
  tool_key: toolKey,
  in_engine: inEngine,
  severity: severityOf,
}
