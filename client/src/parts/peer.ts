/** What the differential tests call in this room: the server draws the same drive for its reports. */
import type { PeerFunctions } from '../peer'
import { driveInWords, driveShapes } from './drive-geometry'
import { driveState } from './drive-sheet'

export const peerFunctions: PeerFunctions = { drive_shapes: driveShapes, drive_words: driveInWords, drive_state: driveState }
