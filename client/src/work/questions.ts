/** Questions a screen asks of the job as it is now: what comes next in a step, which tools, what is refused and why. */
import type { BoardTool, PlaceCounts, RuleNow } from './shown'
import type { Step } from '../procedure/bundle'
import { conditionsBefore, mayEnd, priceOfReopening, refusal, unmet, type Missing } from '../procedure/state'
import type { Device, Held } from '../store'
import { recallOf, recallsOf, unsettled, type RecallInJob } from './recalls'
import { toolKey } from './spelling'
import type { ProofNow } from './proofs'
import { capital, conditionWords, lower, type JobNow, type StepNow } from './job'
import { settingNm } from './limits'
import { readTag, wrenches, type TagVerdict, type Wrench } from './wrenches'

/** The value of a hole's condition at which the drawing shows its pin. */
const PIN_IN = 'in'

// Within a step.

export const nextProof = ({ proofs }: StepNow): ProofNow | null =>
  proofs.find(({ entry }) => entry === null) ?? null

/** The last proof paints the step in the same hold, unless the step asks for a word or a tool after it. */
export function paintsWith(now: JobNow, { step, proofs }: StepNow, wanted: ProofNow): boolean {
  const others = proofs.filter((each) => each.proof.name !== wanted.proof.name)
  return (
    others.every(({ entry }) => entry !== null) &&
    !step.proof.some(({ kind }) => kind === 'confirm') &&
    toHang(now, step).length === 0
  )
}

export interface StepTools {
  slots: readonly string[]
  way: 'out' | 'in'
  left: number
}

const toTake = ({ toolsOut }: JobNow, { tools_out, tools_in }: Step) =>
  tools_out.filter((slot) => !toolsOut.includes(slot) && !tools_in.includes(slot))
const toHang = ({ toolsOut }: JobNow, { tools_in }: Step) =>
  tools_in.filter((slot) => toolsOut.includes(slot))

/** A step that takes no tool and measures nothing begins at the board: what it counts, photographs and signs is how it is afterwards. */
const isPuttingAway = ({ tools_out, tools_in, proof }: Step) =>
  tools_in.length > 0 && tools_out.length === 0 && !proof.some(({ kind }) => kind === 'reading')

/** Whether the board is the place to hang tools on now, rather than to take them off. */
export const isHanging = (asked: StepNow): boolean =>
  asked.step.tools_in.length > 0 && (isPuttingAway(asked.step) || nextProof(asked) === null)

/**
 * Tools to be tapped on the board now: those a step takes before its work, those it brings back after its proofs.
 * A tool that is taken and brought back in the same step is not asked for twice.
 */
export function toolsOf(now: JobNow, asked: StepNow): StepTools | null {
  const take = toTake(now, asked.step)
  if (take.length > 0)
    return {
      slots: asked.step.tools_out.filter((slot) => !asked.step.tools_in.includes(slot)),
      way: 'out',
      left: take.length,
    }
  const hang = toHang(now, asked.step)
  return isHanging(asked) && hang.length > 0
    ? { slots: asked.step.tools_in, way: 'in', left: hang.length }
    : null
}

export function boardOf({ bundle, toolsOut, held }: JobNow): BoardTool[] {
  const lost = new Set(held.flatMap(({ entry }) => (entry.kind === 'tool.lost' ? [entry.body.tool] : [])))
  return bundle.tools.map(({ slot, label, outline, tag }) => ({
    slot,
    label,
    outline,
    out: toolsOut.includes(slot),
    lost: lost.has(slot),
    ...(tag === undefined ? {} : { tag }),
  }))
}

/** The pin that a hole holds at this value, while the board says that it hangs there. */
export function hangingPin({ bundle, toolsOut }: JobNow, condition: string, value: string): string | null {
  const pin = bundle.drive.wheels.find(({ hole }) => hole?.condition === condition)?.hole?.pin
  return pin !== undefined && value === PIN_IN && !toolsOut.includes(pin) ? pin : null
}

/** Pins that a failure leaves in and that hang on the board: they go in first, or the phone would draw what is not so. */
export function pinsToPutIn(now: JobNow, { index }: StepNow, failure: string): string[] {
  const { conditions, steps } = now.machine
  const left = steps[index]!.fails.find(({ id }) => id === failure)?.effect ?? []
  return left.flatMap(([c, v]) => hangingPin(now, conditions[c]!.id, conditions[c]!.values[v]!) ?? [])
}

export const toolLabel = ({ bundle }: JobNow, slot: string): string =>
  bundle.tools.find((each) => each.slot === slot)?.label ?? slot

// Registered tools.

const entriesOf = (statements: readonly Held[]) =>
  statements.filter(({ standing }) => standing === 'good').map(({ entry }) => entry)

/**
 * @param day YYYY-MM-DD: a check that is over by then counts no more
 * @param set what it is set to, where an adaptor makes that another value than the fastener's
 */
export function wrenchesFor(
  statements: readonly Held[],
  { step }: StepNow,
  { proof }: ProofNow,
  day: string,
  set = settingNm(step, proof),
): Wrench[] {
  return wrenches(entriesOf(statements), proof.tool ?? '', set, day)
}

/** The one that was chosen; else the one used last in this job; else the only one that fits. */
export function wrenchFor(
  { held }: JobNow,
  statements: readonly Held[],
  asked: StepNow,
  wanted: ProofNow,
  day: string,
  chosen: string | null,
): Wrench | null {
  const fit = wrenchesFor(statements, asked, wanted, day).filter((wrench) => wrench.fit)
  const used = held
    .flatMap(({ entry }) =>
      entry.kind === 'reading.taken' && entry.body.tool !== undefined ? [entry.body.tool] : [],
    )
    .reverse()
  const byKey = new Map(fit.map((wrench) => [toolKey(wrench.tool), wrench]))
  const wish = [chosen, ...used].find((tool) => tool !== null && byKey.has(toolKey(tool)))
  return (wish != null && byKey.get(toolKey(wish))) || (fit[0] ?? null)
}

/** What the tag of a tool says, where a proof asks for one. */
export const tagRead = (
  statements: readonly Held[],
  { proof }: ProofNow,
  tag: string,
  day: string,
): TagVerdict => readTag(entriesOf(statements), proof.tool ?? null, tag, day)

/** Why a lot must not be fitted any more; null when nothing was stated. */
export const lotRecalled = (statements: readonly Held[], lot: string): string | null =>
  recallOf(recallsOf(statements), lot)?.because ?? null

// Stops: what the workshop stated about things in this job.

export interface StopNow {
  name: string
  fact: string
  because: string
  hint: string
}

/** `note.added` of this name says that the stop was seen: two phones need not both be told. */
const seenName = (statement: string) => `seen_${statement.slice(0, 24)}`

/** What a recall finds in this engine, in words: 'Timing belt (28)'. */
export function foundWords({ bundle }: JobNow, { standing, borne }: RecallInJob): string {
  const parts = (standing.length > 0 ? standing : borne).map(({ part, step }) => {
    const label = bundle.kit.find((each) => each.part === part)?.label ?? part
    const number = bundle.steps.find(({ id }) => id === step)?.number
    return number ? `${label} (${number})` : label
  })
  return capital([...new Set(parts)].join(', '))
}

/** Recalls and a withdrawal that nobody has said yet that he has seen. */
export function stopsOf(now: JobNow): StopNow[] {
  const seen = new Set(
    now.held.flatMap(({ entry }) =>
      entry.kind === 'note.added' && entry.body.name !== undefined ? [entry.body.name] : [],
    ),
  )
  const recalled = unsettled(now.recalled).map((found): StopNow => {
    const { entry, lot, because } = found.recall
    return {
      name: seenName(entry),
      fact: `Lot ${lot} is recalled`,
      because,
      hint: `${foundWords(now, found)} of this lot is in this engine. Call the owner before the next step. The job is not finished until another is fitted, or the owner takes this one over.`,
    }
  })
  const { withdrawal } = now
  const withdrawn = withdrawal && {
    name: seenName(withdrawal.entry),
    fact: 'This procedure was withdrawn',
    because: withdrawal.because,
    hint: 'Call the owner before the next step. The job may be stopped and opened anew by another edition.',
  }
  return [...recalled, ...(withdrawn ? [withdrawn] : [])].filter(({ name }) => !seen.has(name))
}

// Who goes on.

/** What the owner writes into a job from the desk is no going on with it. */
const OWNERS = /^(review\.|recall\.)/

/**
 * Another person or another phone wrote last: the job is taken over before anything else is done in it.
 * What the workshop refuses stays at the end of the log for ever, whoever has written since.
 */
export function needsTaking({ held }: JobNow, device: Pick<Device, 'id' | 'person'>): boolean {
  const last = held.filter(({ entry, refused }) => !refused && !OWNERS.test(entry.kind)).at(-1)?.entry
  return last !== undefined && (last.device !== device.id || last.person !== device.person)
}

// Refused, and the price of doing again.

export interface RefusalNow {
  first: StepNow | null
  fact: string
  because: string /** Null where nothing is dangerous. */
  sign: string | null
  ask: string[]
}

const numberOr = ({ step }: StepNow) => step.number || `'${step.title}'`

/** Why a step cannot be done now and what comes first; null when it can. */
export function refusalOf(now: JobNow, asked: StepNow): RefusalNow | null {
  const found = refusal(now.machine, now.state, asked.index)
  if (!found) return null
  const sign = asked.step.caution?.sign ?? 'warning'
  if (now.ending && found.why !== 'done' && !isPlanned(now, asked)) {
    return {
      first: firstPlanned(now),
      fact: `${numberOr(asked)} is not done any more.`,
      because: `The job goes to its end: ${now.ending.name}.`,
      sign,
      ask: [],
    }
  }
  switch (found.why) {
    case 'done':
      return {
        first: null,
        fact: `${numberOr(asked)} holds already`,
        because: 'There is nothing to do in it.',
        sign: null,
        ask: [],
      }
    case 'no-change':
      return {
        first: null,
        fact: 'There is nothing to undo here',
        because: 'The engine is like that already.',
        sign: null,
        ask: [],
      }
    case 'order': {
      const first = now.steps[found.step]!
      return {
        first,
        fact: `${numberOr(asked)} comes later.`,
        because: first.step.because ?? `The order of work puts ${numberOr(first)} before it.`,
        sign,
        ask: [],
      }
    }
    case 'rule':
      return brokenRules(now, asked, sign)
    default:
      return {
        ...lackWords(now, found),
        because: `It needs this: ${lower(conditionWords(now.bundle, now.machine, found.condition, found.wanted))}.`,
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
    fact: `Now: ${lower(conditionWords(now.bundle, now.machine, condition, possible))}.`,
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

// Ends.

export interface EndNow {
  id: string
  name: string
  because: boolean
  missing: { words: string; short: string }[]
}

function missingWords(now: JobNow, gap: Missing): { words: string; short: string } {
  const condition = (index: number, possible: number) =>
    conditionWords(now.bundle, now.machine, index, possible)
  switch (gap.kind) {
    case 'step': {
      const step = now.steps[gap.step]!
      return { words: `${step.step.number} ${step.step.title}`.trim(), short: `${numberOr(step)} is to do` }
    }
    case 'tool':
      return {
        words: `Still in the engine bay: ${toolLabel(now, gap.slot)}`,
        short: `${toolLabel(now, gap.slot)} is out`,
      }
    case 'question': {
      const step = gap.step === null ? null : now.steps[gap.step]
      return { words: `The owner asks about ${step ? numberOr(step) : 'a step'}`, short: 'the owner asks' }
    }
    case 'several':
      return { words: `Not sure: ${lower(condition(gap.condition, gap.possible))}`, short: 'look first' }
    case 'condition':
      return {
        words: `${condition(gap.condition, gap.possible)}.`,
        short: lower(condition(gap.condition, gap.possible)),
      }
  }
}

/** A recalled part keeps a job from the end of all steps: a gate of this phone, not of the record. */
function recallsInTheWay(now: JobNow): EndNow['missing'] {
  return unsettled(now.recalled).map((found) => ({
    words: `Lot ${found.recall.lot} is recalled: ${lower(foundWords(now, found))}`,
    short: 'a recalled part is in it',
  }))
}

export function endsOf(now: JobNow): EndNow[] {
  const isFinish = (id: string) => now.machine.ends.some((end) => end.id === id && end.all_must)
  return now.bundle.ends.map(({ id, name, because }) => {
    const missing = mayEnd(now.machine, now.state, id).map((gap) => missingWords(now, gap))
    return { id, name, because, missing: isFinish(id) ? [...missing, ...recallsInTheWay(now)] : missing }
  })
}

// The head band.

export function headRule({ phases, standing }: JobNow): RuleNow {
  const steps = phases.flatMap((phase) => phase.steps)
  const now = steps.findIndex(({ index }) => index === standing?.index)
  return { phases: phases.map((phase) => phase.steps.map(({ seal }) => seal)), now: now < 0 ? null : now }
}

/** Entries of this job by the farthest place each has reached; other phones' entries came from the workshop. */
export function jobPlaces(held: readonly Held[]): PlaceCounts {
  const count = (place: Held['place']) => held.filter((each) => each.place === place).length
  return { phone: count('phone'), workshop: count('workshop'), backup: count('backup') }
}
