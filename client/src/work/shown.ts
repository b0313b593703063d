/** How the state of a job is named for whatever draws it: seals, places, the tools on their board. `parts` draws these. */

import * as words from '../words/en/work/shown'
import { wordsOf } from '../words/message'

export type SealState = 'todo' | 'now' | 'holds' | 'broken' | 'passed'

/** All steps in listed order, and the one that is now. */
export interface RuleNow {
  /** One list a phase, one state a step. */
  phases: readonly (readonly SealState[])[]
  /** Index over all steps of the one that is now; null when the job is at its end. */
  now: number | null
}

export type Place = 'phone' | 'workshop' | 'backup'

/** The three are never shown one for another: this file is the only one that has their words. */
export const PLACE_WORDS: Readonly<Record<Place, string>> = wordsOf(words.places)

/** How many things are at most how far: `phone` are on this phone only, `workshop` are there but in no backup yet. */
export interface PlaceCounts {
  phone: number
  workshop: number
  backup: number
}

export interface BoardTool {
  slot: string
  label: string
  outline: string
  tag?: string
  id?: string
  out: boolean
  lost?: boolean
}
