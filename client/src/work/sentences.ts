/** What must be looked at, in sentences: facts from the log, never a code. */
import type { Flag } from '../procedure/state'
import { conditionWords } from './job'
import { capital } from './letters'
import { severityOf } from './severity'
import { unsettled } from './recalls'
import { limitWords, verdictOf } from './eyes'
import type { JobRecord, ReadingRecord } from './record'

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
  unread: [
    'has an entry that this app cannot read',
    'It may change all that is said here: update the app if a newer one is ready, else ask who wrote it.',
  ],
  'rule-broken': ['was done against a house rule', 'What the rule guards against may have happened.'],
  'outside-limits': ['has a reading outside its limits', 'The reading does not prove the step.'],
  'proof-missing': ['was painted without its proof', 'What the step asks for is not in the record.'],
  'out-of-order': ['was done before its turn', 'What it proves does not count.'],
  'tool-lost': ['left a tool unaccounted for', 'Something may still be in the engine bay.'],
  forked: [
    'has an entry that exists twice',
    'Two entries claim the same place on one phone: its key or its storage was copied.',
  ],
  doubted: ['has an entry by a device that may not write it', 'It proves nothing until it is accepted.'],
  concurrent: [
    'was worked on by two phones that did not know of each other',
    'What one proved, the other may have undone.',
  ],
  'opened-again': ['was opened a second time', 'All that was done before it is to be done again.'],
  gap: [
    'has an entry before which something is missing',
    'It proves nothing until the missing one has come in or it is accepted.',
  ],
  failed: ['did not hold at first', 'A check failed and the work was done again.'],
  passed: ['was passed by, with a reason and a photo', 'It was not proved.'],
  unknown: ['names something its procedure does not have', 'It says nothing for the job.'],
  reopened: ['was opened again', 'It was done once more.'],
  corrected: ['has a reading that was corrected', 'Both values are kept.'],
  'gap-accepted': ['was accepted as it is', "The owner's word stands in place of what was asked for."],
}

export const meaningOf = (code: string): readonly [fact: string, because: string] =>
  MEANING[code] ?? ['has something this page does not know', 'Open the job and look at its entries.']

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
    return `${capital(reading.label)}: ${reading.was ?? ''} was written, ${valueWords(reading)} is right. ${means}`
  const proof = step === null ? undefined : bundle.steps[step]?.proof.find(({ name }) => name === flag.name)
  return proof ? `${capital(proof.label)}. ${means}` : means
}

function sentenceOf(record: JobRecord, flag: Flag): Sentence {
  const step = stepOf(record, flag)
  const found = step === null ? undefined : record.bundle.steps[step]
  const reading = readingOf(record, flag, step)
  const [means] = meaningOf(flag.code)
  const subject = found ? [found.number, found.title].filter(Boolean).join(' ') : 'The job'
  const isOut = reading && flag.code === 'outside-limits'
  return {
    step,
    code: flag.code,
    fact: `${subject} ${means}`,
    because: because(record, flag, step, reading),
    short: isOut
      ? `${reading.label} ${reading.value}, ${limitWords(reading)}`
      : `${found ? found.number || `'${found.title}'` : 'the job'} ${means}`,
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
      times > 1 ? { ...sentence, fact: `${sentence.fact}, ${times} times` } : sentence,
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
      fact: `Lot ${recall.lot} is recalled`,
      because: `${recall.because} In this engine: ${[...new Set(label)].join(', ')}.`,
      short: `lot ${recall.lot} is recalled`,
    }
  })
  const withdrawn: Sentence[] = withdrawal
    ? [
        {
          step: null,
          code: 'bundle-withdrawn',
          fact: 'Its procedure was withdrawn',
          because: withdrawal.because,
          short: 'its procedure was withdrawn',
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
