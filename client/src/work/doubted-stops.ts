/** What a mechanic is told of a wrench that was found out and worked in his job: what is to be tightened again. Pure. */
import type { Held } from '../store'
import { shown } from '../trade/as-found'
import { doubtedIn, type DoubtedReading } from './doubted'
import { dayWords } from './format'
import type { JobNow } from './job'
import { capital } from './letters'
import { seenName, type StopNow } from './stops'
import { checkOf, offWords } from './tool-checks'
import * as words from '../words/en/work/doubted-stops'
import { t } from '../words/message'

/** One for each check, those that were seen, too. */
export function doubtedStops(now: JobNow, statements: readonly Held[]): StopNow[] {
  const doubted = doubtedIn(now.held, statements)
  const checks = new Map(doubted.map(({ found, check }) => [found.check, check]))
  return [...checks].map(([id, check]) => ({
    name: seenName(id),
    fact: t(words.toolFoundOut, { tool: check.tool }),
    because: t(words.because, { on: dayWords(check.on), off: offWords(checkOf(id, check)) }),
    hint: t(words.hint, {
      what: doubted
        .filter(({ found }) => found.check === id)
        .map((each) => whatWords(now, each))
        .join('; '),
    }),
  }))
}

/** '24 idler bolt: 33 N·m was really 30.03' */
function whatWords({ bundle }: JobNow, { found }: DoubtedReading): string {
  const step = bundle.steps.find(({ id }) => id === found.step)
  const label = step?.proof.find(({ name }) => name === found.name)?.label ?? found.name
  return t(words.what, {
    where: [step?.number, capital(label)].filter(Boolean).join(' '),
    value: `${found.value} ${found.unit}`,
    isKnown: found.actual !== null,
    actual: found.actual === null ? '' : shown(found.actual),
  })
}
