/** The redo in words: which seals broke, what comes first, what stays. Pure: out of the job as it is now. */
import type { SealState } from './shown'
import type { JobNow, PlanNow, StepNow } from './job'
import * as words from '../words/en/work/redo'
import { t } from '../words/message'

const MOST_SLOTS = 11

/** A step on the rule; `afterGap` where steps between it and the one before are left out. */
interface Slot {
  number: string
  state: SealState
  afterGap?: boolean
}

interface Redo {
  title: string
  then: string
  /** A part of the rule round the broken seals. */
  rule: Slot[]
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
    : { title: `${item.step.step.number} ${item.step.step.title}`.trim(), because: item.because }

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

/** Of the way, all up to the step that failed; without one, up to the last seal that is broken; to another end, all of it. */
function wayAgain({ plan, lastFailure, ending }: JobNow): readonly PlanNow[] {
  if (ending) return plan
  const isLast = (item: PlanNow) =>
    item.kind === 'step' &&
    (lastFailure ? item.step.index === lastFailure.step.index : item.step.seal === 'broken')
  const last = plan.reduce((found, item, at) => (isLast(item) ? at : found), 0)
  return plan.slice(0, last + 1)
}

/** Steps that are signed anew: what the sentence, the rule and the list of acts all go by. In listed order. */
function signedAnew(now: JobNow): StepNow[] {
  const again = new Set(wayAgain(now).flatMap((item) => (item.kind === 'step' ? [item.step.index] : [])))
  return now.steps.filter(
    ({ step, seal, index }) => step.number !== '' && (seal === 'broken' || again.has(index)),
  )
}

/** A part of the rule: from one before the first that is signed anew to where the work stands. */
function ruleRound(now: JobNow, anew: readonly StepNow[]): Redo['rule'] {
  const numbered = now.steps
    .filter(({ step }) => step.number !== '')
    .map(({ step, seal, index }) => ({
      number: step.number,
      state: seal === 'holds' && anew.some((each) => each.index === index) ? ('broken' as const) : seal,
    }))
  const first = numbered.findIndex(({ state }) => state === 'broken')
  let last = numbered.length - 1
  while (last > 0 && numbered[last]?.state === 'todo') last -= 1
  if (first < 0) return numbered.slice(Math.max(0, last - MOST_SLOTS + 2), last + 2)
  const until = Math.min(numbered.length, Math.max(last + 2, first + 4))
  const from = Math.max(0, Math.min(first - 1, until - MOST_SLOTS))
  const round = numbered.slice(from, until)
  return round.length > MOST_SLOTS ? withGaps(round) : round
}

/** Of a part that is too long: what is signed anew and what comes first after that, and beside each what holds, as far as there is room. */
function withGaps(round: readonly Slot[]): Slot[] {
  const places = round.map((_, at) => at)
  const marked = places.filter((at) => round[at]?.state !== 'holds')
  const beside = places.filter(
    (at) => !marked.includes(at) && (marked.includes(at + 1) || marked.includes(at - 1)),
  )
  const shown = [...marked, ...beside].slice(0, MOST_SLOTS).sort((one, other) => one - other)
  return shown.flatMap((at, i) => {
    const slot = round[at]
    const isAfterGap = i > 0 && shown[i - 1] !== at - 1
    return slot ? [isAfterGap ? { ...slot, afterGap: true } : slot] : []
  })
}

function signWords({ steps, ending }: JobNow, anew: readonly StepNow[]): string {
  if (ending) return t(words.thenTheJobEnds, { name: ending.name })
  if (anew.length === 0) return t(words.allHold)
  const rest = steps.some((each) => each.seal === 'holds' && !anew.includes(each))
  return t(words.signAgain, { numbers: numbersInWords(anew.map(({ step }) => step.number)), rest })
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
  const ways = wayAgain(now).map(wayOf)
  const anew = signedAnew(now)
  const seals =
    broken.length === 0
      ? t(words.noSealIsBroken)
      : t(words.sealsAreBroken, { n: broken.length, numbers: numbersInWords(broken) })
  return {
    title: failure?.says ?? (broken.length ? t(words.redoTitle) : t(words.nothingIsBroken)),
    then: failure?.then ?? seals,
    rule: ruleRound(now, anew),
    nowNumber: todoNumber,
    ways,
    count: ways.length,
    broken,
    stay: signWords(now, anew),
    parts: partsWords(now),
  }
}
