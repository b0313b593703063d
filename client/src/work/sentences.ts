/** What must be looked at, in sentences: facts from the log, never a code. */
import type { Flag } from '../procedure/state'
import { conditionWords } from './job'
import { capital } from './letters'
import { severityOf } from './severity'
import { unsettled } from './recalls'
import { limitWords, verdictOf } from './eyes'
import type { JobRecord, ReadingRecord } from './record'
import * as words from '../words/en/work/sentences'
import { t } from '../words/message'

interface Sentence {
  /** The step it is about; null for the job as a whole. */
  step: number | null
  code: string
  fact: string
  because: string
  /** The fact in the few words of a headline. */
  short: string
}

const MEANING: Record<string, readonly [fact: string, because: string]> = {
  unread: [t(words.unreadable), t(words.unreadableMeans)],
  'rule-broken': [t(words.againstRule), t(words.againstRuleMeans)],
  'outside-limits': [t(words.outsideLimits), t(words.outsideLimitsMeans)],
  'proof-missing': [t(words.withoutProof), t(words.withoutProofMeans)],
  'out-of-order': [t(words.beforeTurn), t(words.beforeTurnMeans)],
  'tool-lost': [t(words.toolUnaccounted), t(words.toolUnaccountedMeans)],
  forked: [t(words.existsTwice), t(words.existsTwiceMeans)],
  doubted: [t(words.notAllowed), t(words.notAllowedMeans)],
  concurrent: [t(words.twoPhones), t(words.twoPhonesMeans)],
  'opened-again': [t(words.openedTwice), t(words.openedTwiceMeans)],
  gap: [t(words.gapBefore), t(words.gapBeforeMeans)],
  failed: [t(words.failedFirst), t(words.failedFirstMeans)],
  passed: [t(words.passedBy), t(words.passedByMeans)],
  unknown: [t(words.unknownName), t(words.unknownNameMeans)],
  reopened: [t(words.reopened), t(words.reopenedMeans)],
  corrected: [t(words.corrected), t(words.correctedMeans)],
  'gap-accepted': [t(words.gapAccepted), t(words.gapAcceptedMeans)],
}

export const meaningOf = (code: string): readonly [fact: string, because: string] =>
  MEANING[code] ?? [t(words.unknownFact), t(words.unknownFactMeans)]

/** The step a flag is about: the one it names, or the one its entry speaks of. */
function stepOf({ bundle, held }: JobRecord, { step, entry }: Flag): number | null {
  if (step !== undefined) return step
  const byId = (id: string) => held.find((each) => each.entry.id === id)?.entry
  const said = byId(entry)
  const about = said?.kind === 'reading.corrected' ? byId(said.body.of) : said
  const found =
    about && 'step' in about.body
      ? bundle.steps.findIndex(({ id }) => id === (about.body as { step: string }).step)
      : -1
  return found < 0 ? null : found
}

/** The reading that a flag is about. */
function readingOf({ steps, held }: JobRecord, flag: Flag, step: number | null): ReadingRecord | undefined {
  const readings = step === null ? [] : (steps[step]?.readings ?? [])
  const entry = held.find((each) => each.entry.id === flag.entry)?.entry
  if (entry?.kind === 'reading.corrected')
    return readings.find((each) => each.held.entry.id === entry.body.of)
  return readings.filter((each) => each.name === flag.name && verdictOf(each) === 'outside').at(-1)
}

const valueWords = ({ value, unit }: ReadingRecord): string =>
  unit === '' || unit === '1' ? value : `${value} ${unit}`

function because(
  record: JobRecord,
  flag: Flag,
  step: number | null,
  reading: ReadingRecord | undefined,
): string {
  const { bundle } = record
  const rule = flag.rule === undefined ? undefined : bundle.rules[flag.rule]
  if (rule) return `${rule.never}: ${rule.because}`
  if (flag.code === 'failed') {
    const failure = (step === null ? undefined : record.steps[step])?.failures.find(
      ({ held }) => held.entry.id === flag.entry,
    )
    if (failure) return failure.says
  }
  const means = meaningOf(flag.code)[1]
  if (reading && flag.code === 'outside-limits')
    return `${capital(reading.label)} ${valueWords(reading)}, ${limitWords(reading)}. ${means}`
  if (reading && flag.code === 'corrected')
    return t(words.correctedFromTo, {
      label: capital(reading.label),
      was: reading.was ?? '',
      reading: valueWords(reading),
      means,
    })
  const proof = step === null ? undefined : bundle.steps[step]?.proof.find(({ name }) => name === flag.name)
  return proof ? `${capital(proof.label)}. ${means}` : means
}

function sentenceOf(record: JobRecord, flag: Flag): Sentence {
  const step = stepOf(record, flag)
  const found = step === null ? undefined : record.bundle.steps[step]
  const reading = readingOf(record, flag, step)
  const [means] = meaningOf(flag.code)
  const subject = found ? [found.number, found.title].filter(Boolean).join(' ') : t(words.job)
  const isOut = reading && flag.code === 'outside-limits'
  return {
    step,
    code: flag.code,
    fact: `${subject} ${means}`,
    because: because(record, flag, step, reading),
    short: isOut
      ? `${reading.label} ${reading.value}, ${limitWords(reading)}`
      : `${found ? found.number || `'${found.title}'` : t(words.jobInSentence)} ${means}`,
  }
}

/** One sentence for each thing, not for each entry: a failure that happened twice is said once, with how often. */
export function sentencesOf(record: JobRecord): Sentence[] {
  const groups = new Map<string, { sentence: Sentence; times: number }>()
  for (const flag of record.state.exceptions) {
    const sentence = sentenceOf(record, flag)
    const key = `${sentence.fact}|${sentence.because}`
    const known = groups.get(key)
    if (known) known.times++
    else groups.set(key, { sentence, times: 1 })
  }
  return [...groups.values()]
    .sort(
      (a, b) =>
        severityOf(a.sentence.code) - severityOf(b.sentence.code) ||
        (a.sentence.step ?? -1) - (b.sentence.step ?? -1),
    )
    .map(({ sentence, times }) =>
      times > 1 ? { ...sentence, fact: t(words.times, { fact: sentence.fact, times }) } : sentence,
    )
}

/** What the workshop has stated against the job and nobody has settled: it comes before all that the log says. */
export function statedSentences({
  bundle,
  recalled,
  withdrawal,
}: Pick<JobRecord, 'bundle' | 'recalled' | 'withdrawal'>): Sentence[] {
  const recalls = unsettled(recalled).map(({ recall, standing }): Sentence => {
    const label = standing.map(({ part }) => bundle.kit.find((each) => each.part === part)?.label ?? part)
    const step = bundle.steps.findIndex(({ id }) => id === standing[0]?.step)
    return {
      step: step < 0 ? null : step,
      code: 'lot-recalled',
      fact: t(words.lotRecalled, { lot: recall.lot }),
      because: t(words.lotRecalledBecause, { because: recall.because, what: [...new Set(label)].join(', ') }),
      short: t(words.lotRecalledShort, { lot: recall.lot }),
    }
  })
  const withdrawn: Sentence[] = withdrawal
    ? [
        {
          step: null,
          code: 'bundle-withdrawn',
          fact: t(words.bundleWithdrawn),
          because: withdrawal.because,
          short: t(words.bundleWithdrawnShort),
        },
      ]
    : []
  return [...recalls, ...withdrawn]
}

/** What is not certain about the engine as the record leaves it. */
export function uncertain({ bundle, machine, state }: JobRecord): string[] {
  return state.conditions.flatMap((mask, c) => {
    const isSeveral = (mask & (mask - 1)) !== 0
    return isSeveral && !machine.conditions[c]!.proof
      ? [`${bundle.conditions[c]?.label ?? ''}: ${conditionWords(bundle, machine, c, mask)}`]
      : []
  })
}
