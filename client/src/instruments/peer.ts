/** What the differential tests call in this room: each instrument brings its own from `NAME-peer.ts`. */
import type { PeerFunctions } from '../peer'
import { measureMarks } from './marks'

const instruments = import.meta.glob<Record<string, PeerFunctions>>('./*-peer.ts', { eager: true })

export const peerFunctions: PeerFunctions = Object.assign(
  { measure_marks: measureMarks },
  ...Object.values(instruments).flatMap((found) => Object.values(found)),
)
