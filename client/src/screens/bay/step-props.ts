/** What the screens of a step are handed. */
import type { Held, Intent } from '../../store'
import type { InJob } from './in-job'

export interface StepScreensProps {
  shared: InJob
  /** The address behind `step`: which step, which of its screens, which of its proofs. */
  parts: readonly string[]
  statements: readonly Held[]
  intent: Intent | null
}
