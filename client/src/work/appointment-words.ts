/** When a job is promised and why it is parked, in words. Pure. */
import type { Body } from '../ledger/bodies'
import * as words from '../words/en/work/appointment-words'
import { t } from '../words/message'

const isReason = (why: string): why is keyof typeof words.reasons => why in words.reasons

/** Why a job rests. */
export const reasonWords = (why: string): string => (isReason(why) ? t(words.reasons[why]) : why)

/** 'parked: a part is missing (4.2 seal)'. */
export const parkedWords = ({ why, part }: Body<'job.parked'>): string =>
  t(words.parked, {
    why: reasonWords(why),
    hasPart: part !== undefined,
    part: part ?? '',
  })

/** The time by the clock it is read on, with its day unless that is `today`'s; said to be past once it is. */
export function promisedWords(promised: string, now: number): string {
  const at = Date.parse(promised)
  if (Number.isNaN(at)) return t(words.promisedOdd, { at: promised })
  const isToday = new Date(at).toDateString() === new Date(now).toDateString()
  return t(words.promised, { isToday, at: promised, isPast: at < now })
}
