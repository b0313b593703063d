/** What the screens of one job are handed, and what those of one of its steps are handed beside that. */
import type { HeadProps } from '../../parts/head'
import type { Store, Trouble } from '../../store'
import type { JobNow, StepNow } from '../../work/job'
import type { Act } from './act'

export interface InJob {
  store: Store
  job: string
  now: JobNow
  act: Act
  head: HeadProps
  /** What a screen with an act is framed by: the job's head band, and why nothing was kept. */
  framed: { head: HeadProps; trouble: Trouble | null }
  to: (...parts: string[]) => void
  /** Back to what the log asks for next. */
  onward: () => void
}

export interface InStep extends InJob {
  asked: StepNow
  toStep: (...parts: string[]) => void
  fail: (() => void) | null
  /** The rules that ask and are passed by here, with the reason; null for a step in order. */
  passing: Passing | null
}

export interface Passing {
  rules: readonly string[]
  because: string
}
