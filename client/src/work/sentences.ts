/** What must be looked at, in sentences: facts from the log, never a code. */
import type { Flag } from '../procedure/state'
import { conditionWords } from './job'
import { capital } from './letters'
import { severityOf } from './severity'
import type { Bundle } from '../procedure/bundle'
import { shown } from '../trade/as-found'
import type { DoubtedReading } from './doubted'
import { dayWords } from './format'
import type { Tightened } from './found-out'
import { unsettled } from './recalls'
import { checkOf, offWords } from './tool-checks'
import { limitWords, verdictOf } from './eyes'
import type { JobRecord, ReadingRecord } from './record'
import * as flags from '../words/en/work/flags'
import * as words from '../words/en/work/sentences'
import * as stops from '../words/en/work/stops'
import { t } from '../words/message'

export interface Sentence {
  /** The step it is about; null for the job as a whole. */
  step: number | null
  code: string
  fact: string
  because: string
  /** The fact in the few words of a headline. */
  short: string
}

/** Of each code of the fold what is so, and what that means. The server's twin is `bag/sentences.py`. */
const FLAGS = {
  'not-folded': [words.notFolded, words.notFoldedMeans],
  unread: [flags.unreadable, flags.unreadableMeans],
  'rule-broken': [flags.againstRule, flags.againstRuleMeans],
  'outside-limits': [flags.outsideLimits, flags.outsideLimitsMeans],
  'proof-missing': [flags.withoutProof, flags.withoutProofMeans],
  'out-of-order': [flags.beforeTurn, flags.beforeTurnMeans],
  'tool-lost': [flags.toolUnaccounted, flags.toolUnaccountedMeans],
  forked: [flags.existsTwice, flags.existsTwiceMeans],
  doubted: [flags.notAllowed, flags.notAllowedMeans],
  concurrent: [flags.twoPhones, flags.twoPhonesMeans],
  'opened-again': [flags.openedTwice, flags.openedTwiceMeans],
  gap: [flags.gapBefore, flags.gapBeforeMeans],
  failed: [flags.failedFirst, flags.failedFirstMeans],
  'without-permit': [flags.withoutPermit, flags.withoutPermitMeans],
  passed: [flags.passedBy, flags.passedByMeans],
  unknown: [flags.unknownName, flags.unknownNameMeans],
  reopened: [flags.reopened, flags.reopenedMeans],
  corrected: [flags.corrected, flags.correctedMeans],
  'gap-accepted': [flags.gapAccepted, flags.gapAcceptedMeans],
} as const

const isFlag = (code: string): code is keyof typeof FLAGS => code in FLAGS

/** What is so with a step or the job. */
export const factOf = (code: string, subject: string): string =>
  isFlag(code) ? t(FLAGS[code][0], { subject }) : t(words.unknownFact, { subject })

/** What a code means for the work. */
export const meaningOf = (code: string): string =>
  isFlag(code) ? t(FLAGS[code][1]) : t(words.unknownFactMeans)

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
  const means = meaningOf(flag.code)
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
  const subject = found ? [found.number, found.title].filter(Boolean).join(' ') : t(flags.theJob)
  const inShort = found ? found.number || `'${found.title}'` : t(words.theJob)
  const isOut = reading && flag.code === 'outside-limits'
  return {
    step,
    code: flag.code,
    fact: factOf(flag.code, subject),
    because: because(record, flag, step, reading),
    short: isOut ? `${reading.label} ${reading.value}, ${limitWords(reading)}` : factOf(flag.code, inShort),
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
  doubted,
}: Pick<JobRecord, 'bundle' | 'recalled' | 'withdrawal' | 'doubted'>): Sentence[] {
  const recalls = unsettled(recalled).map(({ recall, standing }): Sentence => {
    const label = standing.map(({ part }) => bundle.kit.find((each) => each.part === part)?.label ?? part)
    const step = bundle.steps.findIndex(({ id }) => id === standing[0]?.step)
    return {
      step: step < 0 ? null : step,
      code: 'lot-recalled',
      fact: t(stops.lotRecalled, { lot: recall.lot }),
      because: t(words.lotRecalledBecause, { because: recall.because, what: [...new Set(label)].join(', ') }),
      short: t(words.lotRecalledShort, { lot: recall.lot }),
    }
  })
  const withdrawn: Sentence[] = withdrawal
    ? [
        {
          step: null,
          code: 'bundle-withdrawn',
          fact: t(stops.procedureWithdrawn),
          because: withdrawal.because,
          short: t(words.bundleWithdrawnShort),
        },
      ]
    : []
  return [...recalls, ...foundOutSentences(bundle, doubted), ...withdrawn]
}

/** One sentence for each check that found a tool out: what it tightened here, the worst first. */
function foundOutSentences(bundle: Bundle, doubted: readonly DoubtedReading[]): Sentence[] {
  const checks = [...new Map(doubted.map(({ found, check }) => [found.check, check]))]
  return checks.map(([id, check]) => {
    const mine = doubted.flatMap(({ found }) => (found.check === id ? [found] : []))
    const step = bundle.steps.findIndex((each) => each.id === mine[0]?.step)
    return {
      step: step < 0 ? null : step,
      code: 'tool-found-out',
      fact: t(words.toolFoundOut, { tool: check.tool, on: dayWords(check.on) }),
      because: t(words.toolFoundOutBecause, {
        off: capital(offWords(checkOf(id, check))),
        what: mine.map((found) => tightenedWords(bundle, found)).join('; '),
      }),
      short: t(words.toolFoundOutShort, { tool: check.tool }),
    }
  })
}

/** '28 torque: 26 N·m was really 23.66 N·m, limits 24.96 to 27.04' */
function tightenedWords(
  { steps }: Bundle,
  { step, name, value, unit, actual, low, high }: Tightened,
): string {
  const known = steps.find(({ id }) => id === step)
  const label = known?.proof.find((proof) => proof.name === name)?.label ?? name
  const limits = limitWords({ unit, ...(low === null ? {} : { low }), ...(high === null ? {} : { high }) })
  return t(words.tightened, {
    where: [known?.number, label].filter(Boolean).join(' '),
    value: `${value} ${unit}`,
    isKnown: actual !== null,
    actual: actual === null ? '' : `${shown(actual)} ${unit}`,
    hasLimits: low !== null || high !== null,
    limits: low === null && high === null ? '' : limits,
  })
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
