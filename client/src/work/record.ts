/**
 * A job as those read it who were not at the engine: the log and the bundle in, for each step what was read,
 * photographed, fitted, signed and asked. Pure. Nothing that was written is left out because it was done again later.
 */
import type { Body, Ref } from '../ledger/bodies'
import type { Entry } from '../ledger/entry'
import type { SealState } from './shown'
import { sealOf } from './seal'
import type { Bundle, Step } from '../procedure/bundle'
import { fold, type JobState } from '../procedure/fold'
import { machineOf, type Machine } from '../procedure/machine'
import type { Held, JobRow } from '../store'
import { doubtedIn, type DoubtedReading } from './doubted'
import { logEntries } from './log'
import {
  recalledIn,
  recallOf,
  recallsOf,
  withdrawalOf,
  type Recall,
  type RecallInJob,
  type Withdrawal,
} from './recalls'
import * as says from '../words/en/work/record'
import { t } from '../words/message'

type Of<K extends Entry['kind']> = Extract<Entry, { kind: K }>

export interface ReadingRecord {
  held: Held
  /** Of the proof. */
  name: string
  label: string
  /** The last thing said of it: a correction, where there is one. */
  value: string
  unit: string
  low?: string
  high?: string
  target?: string
  tool?: string
  /** In words, for a choice; null for a figure. */
  says: string | null
  /** What it said before it was corrected. */
  was: string | null
  /** What was read when it was read again; null for the last. */
  again: string | null
  /** By which instrument, by the phone's clock, counted, chosen, or read by eye and put in by hand. */
  taken: NonNullable<Body<'reading.taken'>['by']> | 'clock' | 'count' | 'choice' | 'eye'
}

/** `isEarlier`: the same thing was photographed again later. */
export interface PhotoRecord {
  held: Held
  label: string
  body: Body<'photo.taken'>
  isEarlier: boolean
}
interface QuestionRecord {
  held: Held
  question: Ref
  /** That is asked about; null where none is named. */
  photo: PhotoRecord | null
  answers: { held: Held; words: Ref | null; photo: PhotoRecord | null }[]
  settled: boolean
}

export interface StepRecord {
  index: number
  step: Step
  seal: SealState
  /** `at` of the entry that did it, by the device's own clock; null when it is to do. */
  doneAt: string | null
  doneBy: Held | null
  readings: ReadingRecord[]
  photos: PhotoRecord[]
  /** `recalled`: why its lot is, whether the part is still in the engine or not. */
  parts: { held: Held; body: Body<'part.fitted'>; recalled: string | null }[]
  signatures: { held: Held; label: string; text: Ref }[]
  notes: { held: Held; text: Ref }[]
  failures: { held: Held; says: string }[]
  passes: { rule: string; because: Ref; photo: PhotoRecord | null }[]
  gaps: { held: Held; because: Ref }[]
  questions: QuestionRecord[]
}

export interface JobRecord {
  row: JobRow
  bundle: Bundle
  machine: Machine
  state: JobState
  held: readonly Held[]
  steps: StepRecord[]
  phases: { name: string; steps: StepRecord[] }[]
  closed: Of<'job.closed'> | null
  /** What recalls find in this job, and why its procedure was withdrawn: joined to the fold, never in it. */
  recalled: readonly RecallInJob[]
  withdrawal: Withdrawal | null
  /** What tools that were found out tightened in it and nobody has settled, the worst first. */
  doubted: readonly DoubtedReading[]
}
const isOf =
  <K extends Entry['kind']>(kind: K) =>
  (held: Held): held is Held & { entry: Of<K> } =>
    held.entry.kind === kind

/** How a reading comes about that no instrument took, by the kind of its proof. */
const BY_HAND: Partial<Record<string, ReadingRecord['taken']>> = {
  wait: 'clock',
  count: 'count',
  choice: 'choice',
}

function readingsOf(held: readonly Held[], step: Step): ReadingRecord[] {
  const corrections = held.filter(isOf('reading.corrected'))
  const mine = held.filter(isOf('reading.taken')).filter(({ entry }) => entry.body.step === step.id)
  return mine.map((each, at) => {
    const { body } = each.entry
    const again = mine.slice(at + 1).filter(({ entry }) => entry.body.name === body.name)
    const proof = step.proof.find(({ name }) => name === body.name)
    const corrected = corrections.filter(({ entry }) => entry.body.of === each.entry.id).at(-1)
    const value = corrected?.entry.body.value ?? body.value
    return {
      held: each,
      name: body.name,
      label: proof?.label ?? body.name,
      value,
      unit: body.unit,
      says: proof?.options?.find(({ id }) => id === value)?.says ?? null,
      was: corrected ? body.value : null,
      again: again.at(-1)?.entry.body.value ?? null,
      taken: body.by ?? BY_HAND[proof?.kind ?? 'reading'] ?? 'eye',
      ...(body.low === undefined ? {} : { low: body.low }),
      ...(body.high === undefined ? {} : { high: body.high }),
      ...(proof?.target === undefined ? {} : { target: proof.target }),
      ...(body.tool === undefined ? {} : { tool: body.tool }),
    }
  })
}

function questionsOf(held: readonly Held[], open: ReadonlySet<string>, step: Step): QuestionRecord[] {
  const answers = held.filter(isOf('review.answered'))
  return held.filter(isOf('review.returned')).flatMap((each) => {
    if (each.entry.body.step !== step.id) return []
    return {
      held: each,
      question: each.entry.body.question,
      photo: photoAsked(held, each.entry.body.photo, step),
      answers: answers
        .filter(({ entry }) => entry.body.question === each.entry.id)
        .map((answer) => ({
          held: answer,
          words: answer.entry.body.words ?? null,
          photo: photoOf(held, answer.entry.body.photo, t(says.answer)),
        })),
      settled: !open.has(each.entry.id),
    }
  })
}

function photoOf(held: readonly Held[], entry: string | undefined, label: string): PhotoRecord | null {
  const found = held.filter(isOf('photo.taken')).find((each) => each.entry.id === entry)
  return found ? { held: found, label, body: found.entry.body, isEarlier: false } : null
}

/** It is called what its step calls it. */
function photoAsked(held: readonly Held[], entry: string | undefined, step: Step): PhotoRecord | null {
  const found = photoOf(held, entry, '')
  return (
    found && {
      ...found,
      label: step.proof.find(({ name }) => name === found.body.name)?.label ?? found.body.name,
    }
  )
}

function photosOf(
  mine: readonly (Held & { entry: Of<'photo.taken'> })[],
  labelOf: (name: string) => string,
): PhotoRecord[] {
  return mine.map((held, at) => {
    const { body } = held.entry
    return {
      held,
      label: labelOf(body.name),
      body,
      isEarlier: mine.slice(at + 1).some(({ entry }) => entry.body.name === body.name),
    }
  })
}

export function stepRecord(
  held: readonly Held[],
  state: JobState,
  bundle: Bundle,
  recalls: readonly Recall[],
  index: number,
): StepRecord {
  const step = bundle.steps[index]!
  const mine = held.filter(({ entry }) => 'step' in entry.body && entry.body.step === step.id)
  const doneBy = held.find(({ entry }) => entry.id === state.doneBy[index]?.at(-1)) ?? null
  const labelOf = (name: string) =>
    step.proof.find((proof) => proof.name === name)?.label ??
    (name === 'finding' ? t(says.whatWasFound) : name)
  const notes = mine.filter(isOf('note.added'))
  const isSignature = (name: string | undefined) =>
    step.proof.some((proof) => proof.kind === 'signature' && proof.name === name)
  return {
    index,
    step,
    seal: sealOf(state, index),
    doneAt: state.steps[index] === 'todo' ? null : (doneBy?.entry.at ?? null),
    doneBy,
    readings: readingsOf(held, step),
    photos: photosOf(mine.filter(isOf('photo.taken')), labelOf),
    parts: mine.filter(isOf('part.fitted')).map((each) => ({
      held: each,
      body: each.entry.body,
      recalled: recallOf(recalls, each.entry.body.lot)?.because ?? null,
    })),
    signatures: notes
      .filter(({ entry }) => isSignature(entry.body.name))
      .map((each) => ({
        held: each,
        label: labelOf(each.entry.body.name ?? ''),
        text: each.entry.body.text,
      })),
    notes: notes
      .filter(({ entry }) => !isSignature(entry.body.name))
      .map((each) => ({ held: each, text: each.entry.body.text })),
    failures: mine.filter(isOf('step.failed')).map((each) => ({
      held: each,
      says: step.fails.find(({ id }) => id === each.entry.body.failure)?.says ?? each.entry.body.failure,
    })),
    passes: mine.filter(isOf('step.done')).flatMap(({ entry }) =>
      (entry.body.passed ?? []).map(({ rule, because, photo }) => ({
        rule: bundle.rules.find(({ id }) => id === rule)?.never ?? rule,
        because,
        photo: photoOf(held, photo, t(says.whyPassed)),
      })),
    ),
    gaps: mine.filter(isOf('review.gap')).map((each) => ({ held: each, because: each.entry.body.because })),
    questions: questionsOf(held, new Set(state.questions.map(({ entry }) => entry)), step),
  }
}

/** Undo steps are shown only where something was written in them. */
const wasTouched = ({ doneBy, readings, photos, failures, notes, questions }: StepRecord): boolean =>
  doneBy !== null || [readings, photos, failures, notes, questions].some((each) => each.length > 0)

export function jobRecord(
  row: JobRow,
  bundle: Bundle,
  held: readonly Held[],
  statements: readonly Held[],
): JobRecord {
  const machine = machineOf(bundle)
  const state = fold(machine, logEntries(held))
  const recalls = recallsOf(statements)
  const steps = bundle.steps.map((_, index) => stepRecord(held, state, bundle, recalls, index))
  const shown = steps.filter((each) => !each.step.undo || wasTouched(each))
  const closed = held.filter(isOf('job.closed')).find(({ entry }) => entry.id === state.closed?.entry)
  return {
    row,
    bundle,
    machine,
    state,
    held,
    steps,
    phases: bundle.phases
      .map(({ id, name }) => ({ name, steps: shown.filter(({ step }) => step.phase === id) }))
      .filter((phase) => phase.steps.length > 0),
    closed: closed?.entry ?? null,
    recalled: recalledIn(held, recalls),
    withdrawal: withdrawalOf(statements, row.bundle),
    doubted: doubtedIn(held, statements),
  }
}

/** The steps of the rule, in listed order. */
export const listed = (record: JobRecord): StepRecord[] => record.steps.filter(({ step }) => !step.undo)

/** A step that moves nothing is never begun: it is done at once. */
const isWork = (
  entry: Entry,
): entry is Extract<Entry, { kind: 'step.begun' | 'step.done' | 'step.failed' }> =>
  entry.kind === 'step.begun' || entry.kind === 'step.done' || entry.kind === 'step.failed'

/** When each phase of the listed steps was begun, by the device's own clock; null while it is not. `first` is its first step. */
export function phaseTimes(record: JobRecord): { name: string; first: number; time: string | null }[] {
  const steps = listed(record)
  return record.bundle.phases.flatMap(({ id, name }) => {
    const first = steps.findIndex(({ step }) => step.phase === id)
    const inPhase = new Set(steps.filter(({ step }) => step.phase === id).map(({ step }) => step.id))
    const begun = record.held.find(({ entry }) => isWork(entry) && inPhase.has(entry.body.step))
    return first < 0 ? [] : [{ name, first, time: begun?.entry.at ?? null }]
  })
}
