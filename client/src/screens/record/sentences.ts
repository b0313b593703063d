/** What must be looked at, in sentences: facts from the log, never a code. */
import type { Flag } from '../../procedure/state'
import { conditionWords } from '../bay/job'
import type { JobRecord } from './record'

export interface Sentence {
  /** The step it is about; null for the job as a whole. */
  step: number | null
  fact: string
  because: string
}

/** The worst first: what may have hurt the engine, then what the evidence lacks, then what was said. */
export const SEVERITY = [
  'rule-broken',
  'outside-limits',
  'proof-missing',
  'out-of-order',
  'tool-lost',
  'forked',
  'doubted',
  'concurrent',
  'gap',
  'failed',
  'passed',
  'unknown',
  'reopened',
  'corrected',
  'gap-accepted',
] as const

const MEANING: Record<string, readonly [fact: string, because: string]> = {
  'rule-broken': ['was done against a house rule', 'What the rule guards against may have happened.'],
  'outside-limits': ['has a reading outside its limits', 'The reading does not prove the step.'],
  'proof-missing': ['was painted without its proof', 'What the step asks for is not in the record.'],
  'out-of-order': ['was done before its turn', 'What it proves does not count.'],
  'tool-lost': ['left a tool unaccounted for', 'Something may still be in the engine bay.'],
  forked: ['has an entry that exists twice', 'Two entries claim the same place on one phone: its key or its storage was copied.'],
  doubted: ['has an entry by a device that may not write it', 'It proves nothing until it is accepted.'],
  concurrent: ['was worked on by two phones that did not know of each other', 'What one proved, the other may have undone.'],
  gap: ['has an entry before which something is missing', 'It proves nothing until the missing one has come in or it is accepted.'],
  failed: ['did not hold at first', 'A check failed and the work was done again.'],
  passed: ['was passed by, with a reason and a photo', 'It was not proved.'],
  unknown: ['names something its procedure does not have', 'It says nothing for the job.'],
  reopened: ['was opened again', 'It was done once more.'],
  corrected: ['has a reading that was corrected', 'Both values are kept.'],
  'gap-accepted': ['is missing, and that was accepted', 'The gap stays visible.'],
}

export const meaningOf = (code: string): readonly [fact: string, because: string] =>
  MEANING[code] ?? ['has something this page does not know', 'Open the job and look at its entries.']

const rank = (code: string): number => {
  const at = (SEVERITY as readonly string[]).indexOf(code)
  return at < 0 ? 0 : at
}

const subject = ({ bundle }: JobRecord, { step }: Flag): string => {
  const found = step === undefined ? undefined : bundle.steps[step]
  if (!found) return 'The job'
  return found.number ? `${found.number} ${found.title}` : found.title
}

function because(record: JobRecord, flag: Flag): string {
  const { bundle } = record
  const rule = flag.rule === undefined ? undefined : bundle.rules[flag.rule]
  if (rule) return `${rule.never}: ${rule.because}`
  if (flag.code === 'failed') {
    const record_ = flag.step === undefined ? undefined : record.steps[flag.step]
    const failure = record_?.failures.find(({ held }) => held.entry.id === flag.entry)
    if (failure) return failure.says
  }
  const proof = flag.step === undefined ? undefined : bundle.steps[flag.step]?.proof.find(({ name }) => name === flag.name)
  return proof ? `${proof.label}. ${meaningOf(flag.code)[1]}` : meaningOf(flag.code)[1]
}

/** One sentence for each thing, not for each entry: a failure that happened twice is said once, with how often. */
export function sentencesOf(record: JobRecord): Sentence[] {
  const groups = new Map<string, { flag: Flag; times: number; step: number | null; fact: string; because: string }>()
  for (const flag of record.state.exceptions) {
    const sentence = { step: flag.step ?? null, fact: `${subject(record, flag)} ${meaningOf(flag.code)[0]}`, because: because(record, flag) }
    const key = `${sentence.fact}|${sentence.because}`
    const known = groups.get(key)
    if (known) known.times++
    else groups.set(key, { flag, times: 1, ...sentence })
  }
  return [...groups.values()]
    .sort((a, b) => rank(a.flag.code) - rank(b.flag.code) || (a.step ?? -1) - (b.step ?? -1))
    .map(({ times, step, fact, because: why }) => ({ step, fact: times > 1 ? `${fact}, ${times} times` : fact, because: why }))
}

/** What is not certain about the engine as the record leaves it. */
export function uncertain({ bundle, machine, state }: JobRecord): string[] {
  return state.conditions.flatMap((mask, c) => {
    const isSeveral = (mask & (mask - 1)) !== 0
    return isSeveral && !machine.conditions[c]!.proof ? [`${bundle.conditions[c]?.label ?? ''}: ${conditionWords(bundle, machine, c, mask)}`] : []
  })
}
