/** How a job stands, in words, and what came in of it: for the lists of an owner. Pure. */
import type { ParkedRow, PlannedRow, TodayRow } from '../ledger/answers'
import { parkedWords, promisedWords } from './appointment-words'
import { capital } from './letters'
import * as words from '../words/en/work/job-stands'
import * as stateWords from '../words/en/work/state'
import { t } from '../words/message'

/** What lists know of a job; null where the workshop has not folded it yet. */
export interface Stands {
  state: string | null
  exceptions: number | null
  questions: number | null
  done: number | null
  steps: number | null
  is_closed: boolean
  stage?: string
  /** Answers that no owner has read yet. */
  answered: number | null
  /** Findings that wait for an answer, or for their work. */
  findings: number | null
  planned: Pick<PlannedRow, 'person' | 'promised'> | null
  parked: ParkedRow | null
}

/** 'In work, 12 of 46 steps hold', 'done, waits for your approval'. */
function mainWords({ state, is_closed, done, steps, parked, stage }: Stands): string {
  if (state === 'enquiry' || stage === 'enquiry') return t(words.askedFor)
  if (state === 'declined') return t(words.declined)
  if (state === 'approved') return t(words.approved)
  if (state === 'changed') return t(words.changed)
  if (state === 'closed' || is_closed) return t(words.waitsForApproval)
  if (parked) return parkedWords({ why: parked.why, ...(parked.part === null ? {} : { part: parked.part }) })
  if (done === null || steps === null) return t(words.inWork)
  const held = t(stateWords.stepsHold, { held: done, steps })
  return done === 0 ? t(words.notBegun) : t(words.inWorkHeld, { held })
}

export function standsWords(job: Stands): string {
  const { exceptions, questions, answered, findings } = job
  const more = [
    exceptions ? t(words.asksForEyes, { n: exceptions }) : '',
    questions ? t(words.questionsOpen, { n: questions }) : '',
    answered ? t(words.answersToRead, { n: answered }) : '',
    findings ? t(words.findingsOpen, { n: findings }) : '',
  ].filter(Boolean)
  return capital([mainWords(job), ...more].join('; '))
}

/** When it is promised, and that this is past; null where nothing is, and once it has left. */
export const promiseWords = ({ planned, is_closed: isClosed }: Stands, now: number): string | null =>
  planned?.promised == null || isClosed ? null : promisedWords(planned.promised, now)

/** What a day's entries say, the weightiest first; kinds that say little by themselves are left out. */
const TELLING = [
  'enquiry_taken',
  'job_opened',
  'step_failed',
  'finding_noted',
  'tool_lost',
  'review_returned',
  'review_answered',
  'step_done',
  'photo_taken',
  'note_added',
  'job_parked',
  'job_resumed',
  'job_taken',
  'review_gap',
  'notice_settled',
  'review_approved',
  'job_closed',
] as const

/** 'Opened; 12 steps done; 1 did not hold; 8 photos'. */
export function cameWords({ kinds }: Pick<TodayRow, 'kinds'>): string {
  const said = TELLING.flatMap((name) => {
    const n = kinds[name.replace('_', '.')] ?? 0
    return n === 0 ? [] : [t(words.came[name], { n })]
  })
  const entries = Object.values(kinds).reduce((sum, n) => sum + n, 0)
  return capital(said.length > 0 ? said.join('; ') : t(words.entriesCame, { n: entries }))
}
