/** Why a step cannot be done now and what comes first, and what it would cost to do one again. */
import { conditionsBefore, priceOfReopening, refusal, unmet } from '../procedure/state'
import { conditionWords, numberOr, type JobNow, type StepNow } from './job'
import { capital, lower } from './letters'
import * as words from '../words/en/work/refusal'
import { t } from '../words/message'

export interface RefusalNow {
  first: StepNow | null
  fact: string
  because: string /** Null where nothing is dangerous. */
  sign: string | null
  ask: string[]
}

/** Why a step cannot be done now and what comes first; null when it can. */
export function refusalOf(now: JobNow, asked: StepNow): RefusalNow | null {
  const found = refusal(now.machine, now.state, asked.index)
  if (!found) return null
  const sign = asked.step.caution?.sign ?? 'warning'
  if (now.ending && found.why !== 'done' && !isPlanned(now, asked)) {
    return {
      first: firstPlanned(now),
      fact: t(words.notAnyMore, { asked: numberOr(asked) }),
      because: t(words.goesToEnd, { name: now.ending.name }),
      sign,
      ask: [],
    }
  }
  switch (found.why) {
    case 'done':
      return {
        first: null,
        fact: t(words.holdsAlready, { asked: numberOr(asked) }),
        because: t(words.holdsAlreadyHint),
        sign: null,
        ask: [],
      }
    case 'no-change':
      return {
        first: null,
        fact: t(words.nothingToUndo),
        because: t(words.nothingToUndoHint),
        sign: null,
        ask: [],
      }
    case 'order': {
      const first = now.steps[found.step]!
      return {
        first,
        fact: t(words.comesLater, { asked: numberOr(asked) }),
        because: t(words.comesLaterHint, {
          first: numberOr(first),
          title: lower(first.step.title),
          hasBecause: asked.step.because !== undefined,
          because: asked.step.because ?? '',
        }),
        sign,
        ask: [],
      }
    }
    case 'rule':
      return brokenRules(now, asked, sign)
    default:
      return {
        ...lackWords(now, found),
        because: t(words.itNeedsThis, {
          condition: lower(conditionWords(now.bundle, now.machine, found.condition, found.wanted)),
        }),
        sign,
        ask: [],
      }
  }
}

/** Of all house rules that the step would break now, one that stops is told before those that ask, and lets none of them pass. */
function brokenRules(now: JobNow, { index }: StepNow, sign: string): RefusalNow {
  const { bundle, machine, state } = now
  const conditions = conditionsBefore(state, index)
  const broken = machine.steps[index]!.rules.flatMap(({ rule, guard }) => {
    const lack = unmet(machine, conditions, guard)
    return lack ? [{ rule: bundle.rules[rule]!, lack }] : []
  })
  const stop = broken.find(({ rule }) => rule.kind === 'stop')
  const { rule, lack } = stop ?? broken[0]!
  return {
    ...lackWords(now, lack),
    because: capital(rule.because),
    sign,
    ask: stop ? [] : broken.map((each) => each.rule.id),
  }
}

function lackWords(
  now: JobNow,
  { condition, possible, by }: { condition: number; possible: number; by: readonly number[] },
): Pick<RefusalNow, 'first' | 'fact'> {
  return {
    first: firstOf(now, by),
    fact: t(words.now, { condition: lower(conditionWords(now.bundle, now.machine, condition, possible)) }),
  }
}

const plannedSteps = ({ plan }: JobNow): number[] =>
  plan.flatMap((item) => (item.kind === 'step' ? [item.step.index] : []))
const isPlanned = (now: JobNow, { index }: StepNow) => plannedSteps(now).includes(index)
const firstPlanned = (now: JobNow): StepNow | null => now.steps[plannedSteps(now)[0] ?? -1] ?? null

/** Of the steps that would bring it there, the one that the plan comes to first. */
function firstOf(now: JobNow, by: readonly number[]): StepNow | null {
  const index = plannedSteps(now).find((step) => by.includes(step)) ?? by[0]
  return index === undefined ? null : (now.steps[index] ?? null)
}

export const priceOf = ({ machine, state, steps }: JobNow, asked: StepNow): StepNow[] =>
  priceOfReopening(machine, state, asked.index).map((index) => steps[index]!)
