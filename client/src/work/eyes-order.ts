/** The desk's list: what happened in each job in one sentence, and how thick the blade above it is. Pure. */
import type { DeskRow, NoticeRow } from '../ledger/answers'
import { dayWords } from './format'
import { capital } from './letters'
import { factOf } from './sentences'
import { mayHurt } from './severity'
import * as words from '../words/en/work/eyes-order'
import * as state from '../words/en/work/state'
import { t } from '../words/message'

/** Feeler blades: thicker needs eyes sooner. px of the blade, and of the words under it. */
export const BLADES = [
  { thick: 20, size: 44 },
  { thick: 13, size: 34 },
  { thick: 9, size: 28 },
  { thick: 5, size: 23 },
  { thick: 2.5, size: 20 },
] as const

/**
 * A line of the list: one job, or one notice with all the jobs it speaks against.
 * `ranked`: the head may be sharpened by what the job's own log says first.
 */
export interface Line {
  key: string
  rows: readonly [DeskRow, ...DeskRow[]]
  head: string
  says: string
  blade: number
  ranked: boolean
  notice: NoticeRow | null
}

const vehicleOf = (row: DeskRow): string => row.vehicle ?? t(words.procedureMissing)

/** The plate is what tells one van from the next. */
export const nameOf = (row: DeskRow): string => row.plate ?? capital(vehicleOf(row))

/** Rank by what may hurt: 0 is the thickest blade. Null asks for nobody's eyes. */
function bladeOf(row: DeskRow): number | null {
  if (row.state === 'changed') return 0
  if (row.state === 'approved') return null
  if (row.codes.some(mayHurt)) return 1
  if (row.questions > 0 || row.findings > 0 || row.answered > 0) return 2
  if (row.codes.length > 0) return row.state === 'closed' ? 2 : 3
  return row.state === 'closed' ? 3 : null
}

function head(row: DeskRow): string {
  const name = nameOf(row)
  if (row.state === 'changed') return t(words.approvedThenChanged, { name })
  const code = row.codes[0]
  if (code)
    return t(words.asksForEyes, {
      name,
      fact: factOf(code, t(words.subject, { isJob: code === 'opened-again' })),
    })
  if (row.questions > 0) return t(words.jobQuestions, { name, n: row.questions })
  if (row.answered > 0) return t(words.jobAnswered, { name, n: row.answered })
  if (row.findings > 0) return t(words.jobFindings, { name, n: row.findings })
  return row.state === 'closed' ? t(words.readyToApprove, { name }) : name
}

/** The head with the first finding of the job's log in place of a general word. */
export const sharpened = ({ rows, head: plain, ranked }: Line, finding: string | null): string =>
  ranked && finding !== null ? `${nameOf(rows[0])}: ${finding}` : plain

function says(row: DeskRow): string {
  const progress =
    row.state === 'open' ? t(state.stepsHold, { held: row.done, steps: row.steps }) : t(words.closed)
  const others = row.exceptions > 1 ? [t(words.thingsAskForEyes, { exceptions: row.exceptions })] : []
  const asked =
    row.questions > 0 && row.codes.length > 0 ? [t(words.questionsAreOpen, { n: row.questions })] : []
  const isHead = row.questions + row.answered === 0 && row.codes.length === 0
  const found = row.findings > 0 && !isHead ? [t(words.findingsAreOpen, { n: row.findings })] : []
  const isAnswered = row.answered > 0 && row.questions + row.codes.length > 0
  const answered = isAnswered ? [t(words.answersToRead, { n: row.answered })] : []
  return `${capital([vehicleOf(row), progress, ...others, ...asked, ...answered, ...found].join('; '))}.`
}

/** 'by 1 Dec 2026', or since when it is overdue; `today` as an ISO day. */
export const untilWords = (until: string, today: string): string =>
  t(words.until, { until: dayWords(until), isLate: until < today })

/** A message of the workshop, with its days as they are said. */
const dated = (message: string): string => message.replace(/\d{4}-\d{2}-\d{2}/g, dayWords)

/** One line for each notice: a recall of seven vans is one thing to act on, not seven. */
function noticeLines(rows: readonly DeskRow[], today: string): Line[] {
  const groups = new Map<string, { notice: NoticeRow; about: [DeskRow, ...DeskRow[]] }>()
  for (const row of rows)
    for (const notice of row.notices) {
      const known = groups.get(notice.message)
      if (known) known.about.push(row)
      else groups.set(notice.message, { notice, about: [row] })
    }
  return [...groups].map(([message, { notice, about }]) => {
    const says = [
      t(words.jobs, { n: about.length, names: about.map(nameOf).join(', ') }),
      ...(notice.until === null ? [] : [untilWords(notice.until, today)]),
    ].join(' ')
    return {
      key: message,
      rows: about,
      head: capital(dated(message).replace(/\.$/, '')),
      says,
      blade: 0,
      ranked: false,
      notice,
    }
  })
}

/** What needs eyes, what is overdue first, then the worst as the workshop ranked it; and the rest. */
export function eyesFirst(rows: readonly DeskRow[], today: string): { lines: Line[]; whole: DeskRow[] } {
  const lines = noticeLines(rows, today)
  const whole: DeskRow[] = []
  for (const row of rows) {
    const blade = bladeOf(row)
    if (blade !== null)
      lines.push({
        key: row.job,
        rows: [row],
        head: head(row),
        says: says(row),
        blade,
        ranked: row.state !== 'changed' && row.codes.length > 0,
        notice: null,
      })
    else if (row.notices.length === 0 && row.state !== 'enquiry' && row.state !== 'declined') whole.push(row)
  }
  const late = ({ notice }: Line) => Number(notice?.until != null && notice.until < today)
  return { lines: lines.sort((a, b) => late(b) - late(a) || a.blade - b.blade), whole }
}
