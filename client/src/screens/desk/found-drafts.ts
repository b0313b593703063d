/** What the forms of findings and appointments ask for, checked before it is signed. Pure. */
import { promiseOf } from '../../work/promise'
import type { ExtraWords, PlanWords } from '../../work/write-found'
import type { Checked } from './drafts'
import * as words from '../../words/en/desk/found-drafts'
import { t } from '../../words/message'

const tidy = (text: string, most: number): string => [...text.normalize('NFC').trim()].slice(0, most).join('')

export interface ExtraDraft {
  what: string
  part: string
  minutes: string
}

export function checkExtra(draft: ExtraDraft): Checked<ExtraDraft, ExtraWords> {
  const [what, part, minutes] = [tidy(draft.what, 2000), tidy(draft.part, 64), draft.minutes.trim()]
  const isTime = minutes === '' || /^[1-9][0-9]{0,3}$/.test(minutes)
  if (what === '' || !isTime)
    return {
      ok: false,
      faults: {
        ...(what === '' ? { what: t(words.sayWhat) } : {}),
        ...(isTime ? {} : { minutes: t(words.wholeMinutes) }),
      },
    }
  return { ok: true, body: { what, part, minutes: minutes === '' ? null : Number(minutes) } }
}

export interface FindingDraft {
  /** An offer's entry, or a step's id. */
  at: string
  words: string
}

/** @returns the words */
export function checkFinding(draft: FindingDraft): Checked<FindingDraft, string> {
  const said = tidy(draft.words, 2000)
  return said === '' ? { ok: false, faults: { words: t(words.sayFound) } } : { ok: true, body: said }
}

export interface SettledDraft {
  how: string
  words: string
}

export function checkSettled(draft: SettledDraft): Checked<SettledDraft, { how: string; words: string }> {
  const said = tidy(draft.words, 2000)
  return said === ''
    ? { ok: false, faults: { words: t(words.sayWhy) } }
    : { ok: true, body: { how: draft.how, words: said } }
}

export interface PlanDraft {
  person: string
  promised: string
}

/** @param now in ms since 1970: nothing is promised for what is past */
export function checkPlan(draft: PlanDraft, now: number): Checked<PlanDraft, PlanWords> {
  const { at, isPast } = promiseOf(draft.promised, now)
  if (isPast) return { ok: false, faults: { promised: t(words.isPast) } }
  if (at === null && draft.person === '') return { ok: false, faults: { promised: t(words.nothingSaid) } }
  return { ok: true, body: { person: draft.person === '' ? null : draft.person, promised: at } }
}
