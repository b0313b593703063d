/** What of a job broke, or was opened again, and whether it holds now: the belt shows it, and a list in words. Pure. */
import type { JobRecord, StepRecord } from './record'
import { listed } from './record'
import { hourWords } from './format'
import * as words from '../words/en/work/redone'
import { t } from '../words/message'

export interface Redone {
  step: StepRecord
  /** What did not hold, or that it was opened again, in the order of the log: by the clock of the device. */
  events: { at: string; says: string | null }[]
  holds: boolean
}

/** The listed steps of which something broke, in the order of the work. */
export function redoneOf(record: JobRecord): Redone[] {
  return listed(record).flatMap((step) => {
    const events = record.held.flatMap(({ entry }): Redone['events'] => {
      if (entry.kind === 'step.reopened' && entry.body.step === step.step.id)
        return [{ at: entry.at, says: null }]
      const failed = step.failures.find(({ held }) => held.entry.id === entry.id)
      return failed ? [{ at: entry.at, says: failed.says }] : []
    })
    return events.length > 0 ? [{ step, events, holds: step.seal === 'holds' }] : []
  })
}

/** 'Step 12: at 11:23 it did not hold: teeth are gone; at 11:40 it was opened again. It holds now, done at 11:52.' */
export function redoneWords({ step, events, holds }: Redone): string {
  const said = events.map(({ at, says }) =>
    says === null
      ? t(words.openedAgain, { at: hourWords(at) })
      : t(words.didNotHold, { at: hourWords(at), says: says.replace(/\.$/, '') }),
  )
  return t(words.step, {
    number: step.step.number || step.step.title,
    said: said.join('; '),
    holds: holds && step.doneAt !== null,
    done: step.doneAt === null ? '' : hourWords(step.doneAt),
  })
}
