/**
 * What was stated in audits: lists that were frozen, what was drawn of them, findings with their answers. A statement by a
 * device that may not make it says nothing. Pure.
 */
import type { Filter, Ref } from '../ledger/bodies'
import type { EntryOf } from '../ledger/entry'
import type { Held } from '../store'
import { counting } from './counting'

export const AUDITED = [
  'audit.frozen',
  'audit.drawn',
  'audit.found',
  'audit.answered',
  'audit.closed',
] as const
type Kind = (typeof AUDITED)[number]

interface Stated<K extends Kind> {
  entry: EntryOf<K>
  /** Its record; null while the workshop has not taken it in. */
  index: number | null
}

const ofKind = <K extends Kind>(statements: readonly Held[], kind: K): Stated<K>[] =>
  counting(statements).flatMap(({ entry, index }) =>
    entry.kind === kind ? [{ entry: entry as unknown as EntryOf<K>, index }] : [],
  )

export interface Sample {
  frozen: Stated<'audit.frozen'>
  /** The first word that its own auditor gave after the list stood in the ledger: it counts. */
  drawn: Stated<'audit.drawn'> | null
}

/** Lists that were frozen, the newest first. */
export function samplesOf(statements: readonly Held[]): Sample[] {
  const words = ofKind(statements, 'audit.drawn')
  return ofKind(statements, 'audit.frozen')
    .map((frozen) => ({
      frozen,
      drawn:
        words.find(
          ({ entry, index }) =>
            entry.body.freeze === frozen.entry.id &&
            entry.person === frozen.entry.person &&
            frozen.index !== null &&
            (index === null || index > frozen.index),
        ) ?? null,
    }))
    .reverse()
}

/** What was said of a finding after it was stated. */
export interface AuditAnswer {
  id: string
  person: string
  at: string
  text: Ref | null
}
export interface AuditFinding extends AuditAnswer {
  text: Ref
  /** The job it is about; null: the workshop. */
  about: string | null
  freeze: string | null
  answers: AuditAnswer[]
  closed: AuditAnswer | null
}

const said = ({ entry }: Stated<'audit.answered' | 'audit.closed'>): AuditAnswer => ({
  id: entry.id,
  person: entry.person,
  at: entry.at,
  text: entry.body.text ?? null,
})

/** Findings, the open ones first, of those the oldest. */
export function auditFindingsOf(statements: readonly Held[]): AuditFinding[] {
  const answers = ofKind(statements, 'audit.answered')
  const closings = ofKind(statements, 'audit.closed')
  const found = ofKind(statements, 'audit.found').map(({ entry }): AuditFinding => {
    // Nobody but who found it: else one auditor could close what another wants answered.
    const closed = closings.find(
      (one) => one.entry.body.finding === entry.id && one.entry.person === entry.person,
    )
    return {
      id: entry.id,
      person: entry.person,
      at: entry.at,
      text: entry.body.text,
      about: entry.body.about ?? null,
      freeze: entry.body.freeze ?? null,
      answers: answers.filter((one) => one.entry.body.finding === entry.id).map(said),
      closed: closed ? said(closed) : null,
    }
  })
  return [...found.filter(({ closed }) => !closed), ...found.filter(({ closed }) => closed).reverse()]
}

/** Findings that wait for the workshop's word. */
export const unanswered = (findings: readonly AuditFinding[]): AuditFinding[] =>
  findings.filter(({ closed, answers }) => !closed && answers.length === 0)

/** What the jobs of a list have in common: the question's members, and those of a freeze. */
export interface Wanted extends Filter {
  text?: string
}

/** What stands in the fields of the list; empty: not asked for. */
export interface WantedDraft {
  from: string
  to: string
  person: string
  bundle: string
  engine: string
  exception: string
  tool: string
  lot: string
  text: string
}
export const NOTHING_WANTED: WantedDraft = {
  from: '',
  to: '',
  person: '',
  bundle: '',
  engine: '',
  exception: '',
  tool: '',
  lot: '',
  text: '',
}

const [FIRST_DAY, LAST_DAY] = ['2000-01-01', '9999-12-31']

/** The question of a draft: one day alone is from there on, or up to there. */
export function wantedOf(draft: WantedDraft): Wanted {
  const { from, to, engine } = draft
  const wanted: Wanted = from || to ? { days: [from || FIRST_DAY, to || LAST_DAY] } : {}
  for (const name of ['person', 'bundle', 'exception', 'tool', 'lot', 'text'] as const)
    if (draft[name].trim() !== '') wanted[name] = draft[name].trim()
  return engine.trim() === '' ? wanted : { ...wanted, engine_code: engine.trim() }
}
