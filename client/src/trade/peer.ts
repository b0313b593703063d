/** What the differential tests call in this room. */
import type { PeerFunctions } from '../peer'
import { readLabel } from './gs1'
import { checkVin } from './identity'

export const peerFunctions: PeerFunctions = { check_vin: checkVin, read_label: readLabel }
