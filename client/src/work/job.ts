/**
 * The job as the bay sees it: the log and the bundle in, everything a screen shows out. Pure. Nothing here is remembered: after a kill the same log gives the same screen.
 */
import type { RuleNow, SealState } from './shown'
import { capital, lower } from './letters'
import { sealOf } from './seal'
import type { Ref } from '../ledger/bodies'
import type { Entry } from '../ledger/entry'
import type { Bundle, Step } from '../procedure/bundle'
import { type Fold, foldOn, type JobState } from '../procedure/fold'
import { machineOf, type Machine, type Part } from '../procedure/machine'
import type { Blocked, PlanItem, Why } from '../procedure/plan'
import { conditionsBefore, refusalOn, todoOf } from '../procedure/state'
import type { Device, Held, JobRow } from '../store'
import { endingOf, wayOut, type EndingNow, type WayNow } from './ending'
import { logEntries } from './log'
import { recalledIn, recallsOf, withdrawalOf, type RecallInJob, type Withdrawal } from './recalls'
import { proofsNow, type ProofNow } from './proofs'
import * as says from '../words/en/work/job'
import { t } from '../words/message'

/** A stretch of time in which this phone was not looked at, in ms since 1970. */
export interface Gap {
  from: number
  to: number
}

export interface StepNow {
  index: number
  step: Step
  seal: SealState
  open: boolean
  /** Its work moves the engine, so that a begun step leaves it half-way. */
  moves: boolean
  /** When it was begun and not yet ended; null otherwise. */
  begunAt: string | null
  /** This phone and person began it, and no break was longer than the bundle allows. */
  begunHere: boolean
  proofs: ProofNow[]
  /** Why it is to be done now, when that is not plain: 'To do again: ...'. */
  reason: string
}

export interface LookNow {
  condition: string
  label: string
  values: { id: string; says: string }[]
  because: string
  /** Wheels or tools to show. */
  at: string[]
}

export type PlanNow =
  | { kind: 'look'; look: LookNow; label: string; because: string }
  | { kind: 'step'; step: StepNow; because: string; parts: readonly Part[] }

export interface QuestionNow {
  entry: string
  step: StepNow
  words: Ref
  /** What the photo is called that is asked about; null where none is. */
  photo: string | null
}

export interface JobNow {
  row: JobRow
  bundle: Bundle
  machine: Machine
  held: readonly Held[]
  /** What the next fold of this job goes on from. */
  folded: Fold
  out: WayNow
  state: JobState
  steps: StepNow[]
  phases: { name: string; steps: StepNow[] }[]
  /** Ways back that are open now. */
  undo: { step: StepNow; because: string }[]
  plan: PlanNow[]
  /** The other end that the plan leads to, because none leads to the good one any more. */
  ending: EndingNow | null
  /** Why no way to any end was found, in words; null when there is one. */
  blocked: string | null
  /** The step to work on; null when a look comes first or nothing is left. */
  current: StepNow | null
  look: LookNow | null
  /** Where on the rule the work stands: the next numbered step, also while a way back or a look comes first. */
  standing: StepNow | null
  /** Possible values of each condition, by name. */
  possible: Record<string, string[]>
  /** What is stamped on each tool, by slot. */
  tags: Record<string, string>
  toolsOut: readonly string[]
  questions: QuestionNow[]
  /** What recalls find in this job: the fold knows nothing of it. */
  recalled: readonly RecallInJob[]
  /** Why its procedure was withdrawn; null when it was not. */
  withdrawal: Withdrawal | null
  lastFailure: { step: StepNow; says: string; then: string } | null
}

// From the machine's numbers to words.

const bit = (mask: number, value: number) => ((mask >> value) & 1) === 1

function valuesIn(machine: Machine, condition: number, mask: number): string[] {
  return machine.conditions[condition]!.values.filter((_, value) => bit(mask, value))
}

function saysOf(bundle: Bundle, condition: string, value: string): string {
  return (
    bundle.conditions.find(({ id }) => id === condition)?.values.find(({ id }) => id === value)?.says ?? value
  )
}

const labelOf = (bundle: Bundle, condition: string) =>
  bundle.conditions.find(({ id }) => id === condition)?.label ?? condition

/** 'Pin L1 is in the crankshaft', for one value; joined by 'or' for several. */
export function conditionWords(bundle: Bundle, machine: Machine, condition: number, mask: number): string {
  const { id } = machine.conditions[condition]!
  return capital(
    valuesIn(machine, condition, mask)
      .map((value) => saysOf(bundle, id, value))
      .join(', or '),
  )
}

// Steps, plan, looks.

interface Ground {
  bundle: Bundle
  machine: Machine
  held: readonly Held[]
  folded: Fold
  state: JobState
  todo: ReadonlySet<number>
  device: Pick<Device, 'id' | 'person'> | null
  gaps: readonly Gap[]
}

/** The longest wait of a step: its own time is not a break. */
const waitMs = (step: Step) =>
  Math.max(0, ...step.proof.filter(({ kind }) => kind === 'wait').map(({ low }) => Number(low ?? 0) * 60_000))

function isMine({ held, device }: Ground): boolean {
  const last = lastAtEngine(held)
  return (
    device !== null && (last === undefined || (last.device === device.id && last.person === device.person))
  )
}

/** Another hand, or a break longer than the bundle allows: then what was left half-way is looked at first. */
function isUnbroken(ground: Ground, step: Step): boolean {
  const last = ground.held.at(-1)
  if (!last || !isMine(ground)) return false
  const at = Date.parse(last.entry.at)
  const mostMs = ground.bundle.interrupt_minutes * 60_000 + waitMs(step)
  return ground.gaps.every(({ from, to }) => to <= at || to - Math.max(from, at) <= mostMs)
}

function stepNow(ground: Ground, index: number): StepNow {
  const { bundle, machine, held, state } = ground
  const step = bundle.steps[index]!
  const begun = state.begun.find((each) => each.step === index)
  const entry = begun && held.find((each) => each.entry.id === begun.entry)?.entry
  return {
    index,
    step,
    seal: sealOf(state, index),
    open: refusalOn(machine, conditionsBefore(state, index), ground.todo, index) === null,
    moves: machine.steps[index]!.on_the_way.length > 0,
    begunAt: entry?.at ?? null,
    begunHere:
      entry !== undefined &&
      ground.device !== null &&
      entry.device === ground.device.id &&
      isUnbroken(ground, step),
    proofs: proofsNow(ground.folded, held, index, step),
    reason: '',
  }
}

/** Why the record does not say how a condition is: work that was left half-way, a failure that leaves it open, or two who disagree. */
function unsureWords(ground: Ground, condition: number): string {
  const { machine, state, held } = ground
  const begun = state.begun.find(({ step }) => machine.steps[step]!.on_the_way.some(([c]) => c === condition))
  if (begun) return t(says.notEnded, { number: numberOf(ground, begun.step) })
  const failed = held.filter(({ entry }) => entry.kind === 'step.failed').at(-1)?.entry
  const step =
    failed?.kind === 'step.failed' ? machine.steps.findIndex(({ id }) => id === failed.body.step) : -1
  const failure =
    failed?.kind === 'step.failed'
      ? machine.steps[step]?.fails.find(({ id }) => id === failed.body.failure)
      : undefined
  if (failure?.look.includes(condition)) return t(says.brokeOff, { number: numberOf(ground, step) })
  return t(says.phonesDisagree)
}

function lookNow(ground: Ground, condition: number): LookNow {
  const { bundle, machine, state } = ground
  const { id } = machine.conditions[condition]!
  const declared = bundle.conditions.find((each) => each.id === id)
  const mask = state.conditions[condition]!
  // What may be comes first; the engine may be otherwise all the same.
  const may = (value: string) => bit(mask, machine.conditions[condition]!.values.indexOf(value))
  const values = [...(declared?.values ?? [])]
    .sort((a, b) => Number(may(b.id)) - Number(may(a.id)))
    .map(({ id: value, says }) => ({ id: value, says: capital(says) }))
  const wheels = bundle.drive.wheels
    .filter(({ hole, condition: of }) => hole?.condition === id || of === id)
    .map((wheel) => wheel.id)
  const maybe = lower(conditionWords(bundle, machine, condition, mask))
  return {
    condition: id,
    label: t(says.lookAt, { label: labelOf(bundle, id) }),
    values,
    because: t(says.maybeSo, { unsure: unsureWords(ground, condition), maybe }),
    at: wheels,
  }
}

function planNow(
  ground: Ground,
  steps: readonly StepNow[],
  items: readonly PlanItem[],
  ending: EndingNow | null,
): PlanNow[] {
  return items.flatMap((item): PlanNow[] => {
    if (item.kind === 'look') {
      const look = lookNow(ground, item.condition)
      return [{ kind: 'look', look, label: look.label, because: '' }]
    }
    const step = steps[item.step]
    if (!step) return []
    const because = whyWords(ground, item.why, ending)
    return [{ kind: 'step', step: { ...step, reason: because }, because, parts: item.parts }]
  })
}

const numberOf = ({ bundle }: Ground, index: number): string => {
  const step = bundle.steps[index]
  return step?.number || `'${step?.title ?? ''}'`
}

/** Why a step is in the plan, where that is not plain. */
function whyWords(ground: Ground, why: Why, ending: EndingNow | null): string {
  if (why.kind === 'todo') return ''
  if (why.kind === 'undo') {
    if (why.condition === null) return t(says.clearsWay)
    if (why.step === null) return ending ? t(says.forEnd, { name: ending.name }) : t(says.onlyWay)
    return t(says.forStep, { number: numberOf(ground, why.step) })
  }
  const entry =
    why.entry === null ? undefined : ground.held.find((each) => each.entry.id === why.entry)?.entry
  const about =
    entry && 'step' in entry.body
      ? ground.bundle.steps.findIndex(({ id }) => id === (entry.body as { step: string }).step)
      : -1
  const by = why.step ?? (about < 0 ? null : about)
  return by === null ? t(says.againTwoPhones) : t(says.againBecause, { number: numberOf(ground, by) })
}

/** What keeps the work from going on when no way is found: the owner decides. */
function blockedWords({ bundle, machine }: Ground, { step, refusal: lack }: Blocked): string {
  const what =
    step === null
      ? t(says.end)
      : `${bundle.steps[step]?.number ?? ''} ${bundle.steps[step]?.title ?? 'A step'}`.trim()
  if (lack && 'condition' in lack)
    return t(says.needsCondition, {
      what,
      condition: conditionWords(bundle, machine, lack.condition, lack.possible),
    })
  return t(says.notReachable, { what })
}

/**
 * Everything the screens need, out of a log. `gaps` is when this phone was not looked at: only breaks are measured with a
 * clock. `before` is the same job by the same bundle at an earlier time, to go on from; null for none.
 */
export function jobNow(
  row: JobRow,
  bundle: Bundle,
  held: readonly Held[],
  device: Ground['device'],
  gaps: readonly Gap[],
  statements: readonly Held[] = [],
  before: Pick<JobNow, 'machine' | 'folded' | 'out'> | null = null,
): JobNow {
  const machine = before?.machine ?? machineOf(bundle)
  const folded = foldOn(before?.folded ?? null, machine, logEntries(held))
  const { state } = folded
  const ground: Ground = { bundle, machine, held, folded, state, todo: todoOf(state), device, gaps }
  const steps = bundle.steps.map((_, index) => stepNow(ground, index))
  // The same hand, without a break, goes on where it is: the step it has begun is not looked at first.
  const begun = steps.find(({ begunHere }) => begunHere) ?? null
  const out = wayOut(
    machine,
    begun ? conditionsBefore(state, begun.index) : state.conditions,
    ground.todo,
    state,
    before?.out,
  )
  const { way, end } = out
  const ending = endingOf(bundle, machine, end, state.conditions)
  const planned = planNow(ground, steps, way.items, ending)
  const [first] = planned
  const look = !begun && first?.kind === 'look' ? first.look : null
  const next = first?.kind === 'step' ? first.step : null
  return {
    row,
    bundle,
    machine,
    held,
    folded,
    out,
    state,
    steps: steps.map((each) => (each.index === next?.index ? next : each)),
    phases: bundle.phases
      .map(({ id, name }) => ({ name, steps: steps.filter(({ step }) => step.phase === id && !step.undo) }))
      .filter((phase) => phase.steps.length > 0),
    undo: steps
      .filter(({ step, open }) => step.undo && open && row.end === null)
      .map((step) => ({
        step,
        because:
          planned.find((item) => item.kind === 'step' && item.step.index === step.index)?.because ??
          t(says.wayBack),
      })),
    plan: planned,
    ending,
    blocked: way.blocked && blockedWords(ground, way.blocked),
    current: begun ?? next,
    look,
    standing: standingOf(begun, planned),
    possible: Object.fromEntries(
      machine.conditions.map(({ id }, at) => [id, valuesIn(machine, at, state.conditions[at]!)]),
    ),
    tags: Object.fromEntries(
      bundle.tools.flatMap(({ slot, tag }) => (tag === undefined ? [] : [[slot, tag]])),
    ),
    toolsOut: state.toolsOut,
    questions: questionsNow(ground, steps),
    ...statedOf(row, held, statements),
    lastFailure: failureNow(ground, steps),
  }
}

/** What the workshop has stated against this job: it is joined to the fold, and never in it. */
export function statedOf(
  { bundle }: JobRow,
  held: readonly Held[],
  statements: readonly Held[],
): Pick<JobNow, 'recalled' | 'withdrawal'> {
  return { recalled: recalledIn(held, recallsOf(statements)), withdrawal: withdrawalOf(statements, bundle) }
}

function standingOf(begun: StepNow | null, planned: readonly PlanNow[]): StepNow | null {
  const steps = [
    ...(begun ? [begun] : []),
    ...planned.flatMap((item) => (item.kind === 'step' ? [item.step] : [])),
  ]
  return steps.find(({ step }) => !step.undo) ?? null
}

function questionsNow({ held, state }: Ground, steps: readonly StepNow[]): QuestionNow[] {
  return state.questions.flatMap(({ entry, step }) => {
    const found = held.find((each) => each.entry.id === entry)?.entry
    const about = step === null ? undefined : steps[step]
    return found?.kind === 'review.returned' && about
      ? [
          {
            entry,
            step: about,
            words: found.body.question,
            photo: photoName(held, about, found.body.photo),
          },
        ]
      : []
  })
}

function photoName(held: readonly Held[], { step }: StepNow, photo: string | undefined): string | null {
  const found = held.find((each) => each.entry.id === photo)?.entry
  if (found?.kind !== 'photo.taken') return null
  return step.proof.find(({ name }) => name === found.body.name)?.label ?? found.body.name
}

/** The newest failure, while its step is still to do. */
function failureNow({ held }: Ground, steps: readonly StepNow[]): JobNow['lastFailure'] {
  const entry = held.filter((each) => each.entry.kind === 'step.failed').at(-1)?.entry
  if (entry?.kind !== 'step.failed') return null
  const step = steps.find((each) => each.step.id === entry.body.step)
  const failure = step?.step.fails.find(({ id }) => id === entry.body.failure)
  return step && failure && step.seal !== 'holds' && step.seal !== 'passed'
    ? { step, says: failure.says, then: failure.then }
    : null
}

/** What a step is called in a sentence. */
export const numberOr = ({ step }: StepNow) => step.number || `'${step.title}'`

/** What is written into a job from the desk, or beside the engine, is no going on with it. */
const BESIDE = /^(review|recall|finding|extra|enquiry|page)\.|^job\.(planned|parked|resumed)$/

/** The last that was written at the engine, as far as the workshop does not refuse it. */
const lastAtEngine = (held: readonly Held[]): Entry | undefined =>
  held.filter(({ entry, refused }) => !refused && !BESIDE.test(entry.kind)).at(-1)?.entry

/**
 * Another person or another phone wrote last: the job is taken over before anything else is done in it.
 * What the workshop refuses stays at the end of the log for ever, whoever has written since.
 */
export function needsTaking({ held }: JobNow, device: Pick<Device, 'id' | 'person'>): boolean {
  const last = lastAtEngine(held)
  return last !== undefined && (last.device !== device.id || last.person !== device.person)
}

export function headRule({ phases, standing }: JobNow): RuleNow {
  const steps = phases.flatMap((phase) => phase.steps)
  const now = steps.findIndex(({ index }) => index === standing?.index)
  return { phases: phases.map((phase) => phase.steps.map(({ seal }) => seal)), now: now < 0 ? null : now }
}
