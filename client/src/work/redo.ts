/** The redo in words: which seals broke, what comes first, what stays. Pure: out of the job as it is now. */
import type { SealState } from './shown'
import type { JobNow, PlanNow } from './job'
import * as words from '../words/en/work/redo'
import { t } from '../words/message'

const MOST_SLOTS = 11

interface Redo {
  title: string
  then: string
  /** A part of the rule round the broken seals. */
  rule: { number: string; state: SealState }[]
  nowNumber: string | null
  ways: { title: string; because: string }[]
  count: number
  broken: string[]
  stay: string
  /** The single-use parts that the way uses up again; empty where there are none. */
  parts: string
}

const wayOf = (item: PlanNow) =>
  item.kind === 'look'
    ? { title: item.label, because: item.because }
    : { title: item.step.step.title, because: item.because }

/** '26', '26 and 27', '26 to 32', '22, 26 to 29' */
export function numbersInWords(numbers: readonly string[]): string {
  const runs: string[][] = []
  for (const number of numbers) {
    const run = runs.at(-1)
    if (run && Number(run.at(-1)) + 1 === Number(number)) run.push(number)
    else runs.push([number])
  }
  const parts = runs.flatMap((run) =>
    run.length > 2 ? [t(words.to, { first: run[0]!, last: run.at(-1)! })] : run,
  )
  return parts.length > 1
    ? t(words.and, { parts: parts.slice(0, -1).join(', '), last: parts.at(-1)! })
    : (parts[0] ?? '')
}

/** Steps of the rule from one before the first broken seal to where the work stands, the middle left out by need. */
function ruleRound(now: JobNow): Redo['rule'] {
  const numbered = now.steps
    .filter(({ step }) => step.number !== '')
    .map(({ step, seal }) => ({ number: step.number, state: seal }))
  const first = numbered.findIndex(({ state }) => state === 'broken')
  let last = numbered.length - 1
  while (last > 0 && numbered[last]?.state === 'todo') last -= 1
  if (first < 0) return numbered.slice(Math.max(0, last - MOST_SLOTS + 2), last + 2)
  const until = Math.min(numbered.length, Math.max(last + 2, first + 4))
  const from = Math.max(0, Math.min(first - 2, until - MOST_SLOTS))
  return numbered.slice(from, from + MOST_SLOTS)
}

/** Steps that are painted again on the way to the one that failed, or all that are broken. */
function paintWords({ plan, lastFailure, steps, ending }: JobNow, broken: readonly string[]): string {
  if (ending) return t(words.thenTheJobEnds, { name: ending.name })
  const planned = plan.flatMap((item) =>
    item.kind === 'step' && item.step.step.number !== '' ? [item.step] : [],
  )
  const until = planned.findIndex(({ index }) => index === lastFailure?.step.index)
  const again = planned.slice(0, until + 1).map(({ step }) => step.number)
  const numbers = again.length > 0 ? again : [...broken]
  if (numbers.length === 0) return t(words.allHold)
  const rest = steps.some(({ seal, step }) => seal === 'holds' && !numbers.includes(step.number))
  return t(words.signAgain, { numbers: numbersInWords(numbers), rest })
}

/** What was fitted once and is needed new: a bolt that was stretched, a ring that was pressed. */
function partsWords({ plan, bundle }: JobNow): string {
  const counts = new Map<string, number>()
  for (const item of plan) {
    for (const { part, count } of item.kind === 'step' ? item.parts : [])
      counts.set(part, (counts.get(part) ?? 0) + count)
  }
  const said = [...counts].map(
    ([part, count]) => `${bundle.kit.find((each) => each.part === part)?.label ?? part} (${count})`,
  )
  return said.length > 0 ? t(words.newParts, { said: said.join(', ') }) : ''
}

export function redoOf(now: JobNow): Redo {
  const broken = now.steps
    .filter(({ seal, step }) => seal === 'broken' && step.number !== '')
    .map(({ step }) => step.number)
  const failure = now.lastFailure
  const todoNumber = failure?.step.step.number ?? now.standing?.step.number ?? null
  // Ways up to the first step that is painted anew: what is undone and looked at before the work goes on.
  const again = now.plan.findIndex((item) => item.kind === 'step' && !item.step.step.undo)
  const ways = now.plan.slice(0, Math.max(1, again + 1)).map(wayOf)
  const seals =
    broken.length === 0
      ? t(words.noSealIsBroken)
      : t(words.sealsAreBroken, { n: broken.length, numbers: numbersInWords(broken) })
  return {
    title: failure?.says ?? (broken.length ? t(words.redoTitle) : t(words.nothingIsBroken)),
    then: failure?.then ?? seals,
    rule: ruleRound(now),
    nowNumber: todoNumber,
    ways,
    count: ways.length,
    broken,
    stay: paintWords(now, broken),
    parts: partsWords(now),
  }
}
