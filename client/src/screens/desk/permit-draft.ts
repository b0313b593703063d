/** What a form of a permit asks for, checked before it is signed. Pure; days are ISO dates. */
import type { Body } from '../../ledger/bodies'
import type { Permit } from '../../work/permits'
import { dayWords } from '../../work/format'
import type { Checked, Faults } from './drafts'
import * as words from '../../words/en/desk/permit-draft'
import { t } from '../../words/message'

export interface PermitDraft {
  permit: string
  on: string
  until: string
}

const isDay = (text: string): boolean => /^\d{4}-\d{2}-\d{2}$/.test(text)

/** @param mine the permits of the same person */
export function checkPermit(
  draft: PermitDraft,
  mine: readonly Permit[],
  today: string,
): Checked<PermitDraft, Omit<Body<'permit.given'>, 'person'>> {
  const faults = faultsOf(draft, mine, today)
  if (Object.keys(faults).length > 0) return { ok: false, faults }
  const { permit, on, until } = draft
  return { ok: true, body: { permit, on, ...(until === '' ? {} : { until }) } }
}

function faultsOf(
  { permit, on, until }: PermitDraft,
  mine: readonly Permit[],
  today: string,
): Faults<PermitDraft> {
  if (!isDay(on)) return { on: t(words.dayMissing) }
  if (until !== '' && !isDay(until)) return { until: t(words.lastDayUnfit) }
  if (until !== '' && until < on) return { until: t(words.endsBefore) }
  if (until !== '' && until < today) return { until: t(words.isOver) }
  const same = mine.find((each) => each.permit === permit && each.ended === null && reaches(each, on, until))
  return same
    ? { until: t(words.isThere, { isEndless: same.until === null, until: dayWords(same.until ?? on) }) }
    : {}
}

/** Whether a permit that is there says all that a new one would. */
const reaches = (there: Permit, on: string, until: string): boolean =>
  there.on <= on && (there.until === null || (until !== '' && until <= there.until))
