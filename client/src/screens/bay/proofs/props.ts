/** What every screen of one proof is handed, and what it hands back. */
import type { Deed } from '../../../parts/deed'
import type { HeadProps } from '../../../parts/head'
import type { Beside } from '../../../work/figure-beside'
import type { Bundle, Proof, Step } from '../../../procedure/bundle'
import type { Store, Trouble } from '../../../store'
import type { Given } from '../../../work/write'

export interface ProofProps {
  head: HeadProps
  step: Step
  proof: Proof
  trouble: Trouble | null
  /** The figure it is held against once it is read, where there is one. */
  against?: Beside | null
  /** It is the step's last: it is held, and the same hold also seals the step. Any other is kept at a tap. */
  paints: boolean
  /** The count of a torque's bolts or the choice after it, given on the same screen. */
  also?: Proof | null
  /** What else of the step that hold seals: as it was given, or as only the hold says it. */
  given: readonly string[]
  /** With what `also` got. Resolves when it is on this phone; rejects when it is not, and then `trouble` says why. */
  keep: (given: Given, said?: string) => Deed
  back: () => void
  /** The road back to an instrument, where the hand is tried first because it was left for it. */
  instead?: NextWay | null
  /** To the step's failures, where it has any. */
  fail: (() => void) | null
}

/** What the screen of an instrument is handed beside that. */
export interface WayProps extends ProofProps {
  store: Store
  bundle: Bundle
  /** The next best way to take the reading, and the road there; null where this is the last. */
  next: NextWay | null
}

export interface NextWay {
  says: string
  go: () => void
}
