/** What the differential tests call in this room. */
import type { PeerFunctions } from '../peer'

export const peerFunctions: PeerFunctions = {}
