/** What the differential tests call in this room. */
import type { PeerFunctions } from '../peer'
import { measureMarks } from './marks'

export const peerFunctions: PeerFunctions = { measure_marks: measureMarks }
