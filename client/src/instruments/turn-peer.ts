/** What the differential test of `turn` calls. */
import type { PeerFunctions } from '../peer'
import { addTurns, measureTurn, scaleFromFullTurn } from './turn'

export const turnFunctions: PeerFunctions = {
  measure_turn: measureTurn,
  add_turns: addTurns,
  scale_from_full_turn: scaleFromFullTurn,
}
