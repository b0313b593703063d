/** What the differential tests call in this room: the server draws the same drive for its reports. */
import type { PeerFunctions } from '../peer'
import { driveShapes } from './drive-shapes'
import { driveInWords, driveState, stepView } from './drive-words'

export const peerFunctions: PeerFunctions = {
  drive_shapes: driveShapes,
  drive_words: driveInWords,
  drive_state: driveState,
  drive_view: stepView,
}
