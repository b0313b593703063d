/** What the screens of one job are handed, and what those of one of its steps are handed beside that. */
import type { HeadProps } from '../../parts/head'
import type { Held, Intent, JobRow } from '../../store'
import type { JobNow, StepNow } from '../../work/job'
import type { Rooms } from '../rooms'
import type { Act } from './act'

/** Where in the job, as the address says it. */
export interface JobProps extends Rooms {
  job: string
  screen: string
  parts: string[]
}

/** The job as it was read. */
export interface Loaded {
  row: JobRow
  now: JobNow
  statements: Held[]
  intent: Intent | null
  plate: string | null
}

export interface InJob extends JobProps, Loaded {
  act: Act
  head: HeadProps
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
