/** The rows of a job's history: what each entry says in a few words, and what is odd about its times. Pure. */
import type { Entry } from '../ledger/entry'
import type { Bundle } from '../procedure/bundle'
import type { Held } from '../store'
import type { JobRecord } from './record'
import * as says from '../words/en/work/history'
import { t } from '../words/message'

/** Record texts by their index: `RECEIVED SP OFFSET SP LINE`. */
export type Came = Map<number, string>

export interface HistoryRow {
  held: Held
  what: string
  received: string | null
  oddities: string[]
}

const SAYS: Partial<Record<Held['entry']['kind'], string>> = {
  'job.opened': t(says.jobWasOpened),
  'enquiry.taken': t(says.callTaken),
  'enquiry.declined': t(says.callDeclined),
  'job.taken': t(says.anotherHandWentOn),
  'tool.out': t(says.toolOut),
  'tool.in': t(says.toolBack),
  'tool.lost': t(says.toolLost),
  'part.fitted': t(says.part),
  'step.begun': t(says.begun),
  'step.done': t(says.done),
  'step.failed': t(says.didNotHold),
  'step.reopened': t(says.openedAgain),
  'condition.seen': t(says.lookedAt),
  'reading.taken': t(says.reading),
  'reading.corrected': t(says.readingCorrectedTo),
  'photo.taken': t(says.photo),
  'note.added': t(says.note),
  'review.returned': t(says.question),
  'review.answered': t(says.answer),
  'review.gap': t(says.gapAccepted),
  'review.approved': t(says.approved),
  'finding.noted': t(says.found),
  'finding.answered': t(says.customerSaid),
  'finding.settled': t(says.findingSettled),
  'extra.added': t(says.extraAdded),
  'extra.done': t(says.extraDone),
  'job.planned': t(says.planned),
  'job.parked': t(says.parked),
  'job.resumed': t(says.resumed),
  'recall.borne': t(says.recalledPartTakenOver),
  'notice.settled': t(says.noticeSettled),
  'page.shared': t(says.customersPage),
  'page.ended': t(says.customersPageEnded),
  'recall.followed': t(says.followedUp),
  'job.closed': t(says.jobWasClosed),
  unread: t(says.unreadable),
}

/** What an entry is, where its procedure is not at hand. */
export const whatKind = ({ kind }: Pick<Entry, 'kind'>): string => SAYS[kind] ?? kind

/** 'reading 26 N·m, 28'; a kind of a newer app is named as it is. */
function whatWords({ entry }: Held, bundle: Bundle): string {
  const body = entry.body as { step?: string; value?: string; unit?: string; lot?: string; tool?: string }
  const step = bundle.steps.find(({ id }) => id === body.step)
  const tool = bundle.tools.find(({ slot }) => slot === body.tool)
  const said = [
    SAYS[entry.kind] ?? entry.kind,
    body.value,
    entry.kind === 'reading.taken' && body.unit !== '1' ? body.unit : undefined,
    body.lot,
    entry.kind.startsWith('tool.') ? (tool?.label ?? body.tool) : undefined,
  ]
  const words = said.filter(Boolean).join(' ')
  return step ? `${words}, ${step.number || step.title}` : words
}

const MINUTE_MS = 60_000
/** Signal is poor in a bay; what waited longer than this is told as late. */
const LATE_MS = 60 * MINUTE_MS
/** A device's clock this far from the workshop's is told. */
const OFF_MS = 2 * MINUTE_MS

function longWords(ms: number): string {
  const minutes = Math.round(ms / MINUTE_MS)
  const [hours, days] = [Math.floor(minutes / 60), Math.floor(minutes / 1440)]
  if (days >= 2) return t(says.days, { days })
  return hours >= 1 ? t(says.hMin, { hours, minutes: minutes % 60 }) : t(says.min, { minutes })
}

/** What a reader should know of the times: the clock went back, was wrong, or the entry came in late. */
function odditiesOf(
  at: string,
  before: string | undefined,
  received: string | null,
  offset: string | undefined,
): string[] {
  const [time, last] = [Date.parse(at), before === undefined ? NaN : Date.parse(before)]
  const found: string[] = []
  if (Number.isNaN(time)) found.push(t(says.noTimeAtAll))
  if (last - time > 0) found.push(t(says.clockWentBack, { by: longWords(Math.max(last - time, MINUTE_MS)) }))
  const off = Number(offset)
  if (offset !== undefined && offset !== '?' && Math.abs(off) > OFF_MS)
    found.push(t(says.clockOff, { off: longWords(Math.abs(off)), isAhead: off > 0 }))
  const wait = received === null ? NaN : Date.parse(received) - time + (Number.isNaN(off) ? 0 : off)
  if (wait > LATE_MS) found.push(t(says.cameInLater, { wait: longWords(wait) }))
  return found
}

export function rowsOf({ held, bundle }: Pick<JobRecord, 'held' | 'bundle'>, came: Came): HistoryRow[] {
  const lastOf = new Map<string, string>()
  return held.map((each) => {
    const [received = null, offset] =
      (each.index === null ? undefined : came.get(each.index))?.split(' ', 2) ?? []
    const { at, device } = each.entry
    const oddities = odditiesOf(at, lastOf.get(device), received, offset)
    lastOf.set(device, at)
    return { held: each, what: whatWords(each, bundle), received, oddities }
  })
}
