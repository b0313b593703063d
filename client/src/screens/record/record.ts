/**
 * A job as those read it who were not at the engine: the log and the bundle in, for each step what was read,
 * photographed, fitted, signed and asked. Pure. Nothing that was written is left out because it was done again later.
 */
import type { Body, Ref } from '../../ledger/bodies'
import type { Entry } from '../../ledger/entry'
import type { SealState } from '../../parts/seal'
import type { Bundle, Step } from '../../procedure/bundle'
import { fold, type JobState } from '../../procedure/fold'
import { machineOf, type Machine } from '../../procedure/machine'
import type { Held, JobRow } from '../../store'
import { logEntries } from '../bay/job'

type Of<K extends Entry['kind']> = Extract<Entry, { kind: K }>

export interface ReadingRecord {
  held: Held
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
}

export interface PhotoRecord { held: Held; label: string; body: Body<'photo.taken'> }
export interface QuestionRecord { held: Held; question: Ref; answers: { held: Held; words: Ref | null; photo: string | null }[]; settled: boolean }

export interface StepRecord {
  index: number
  step: Step
  seal: SealState
  /** `at` of the entry that did it, by the device's own clock; null when it is to do. */
  doneAt: string | null
  doneBy: Held | null
  readings: ReadingRecord[]
  photos: PhotoRecord[]
  parts: { held: Held; body: Body<'part.fitted'> }[]
  signatures: { held: Held; label: string; text: Ref }[]
  notes: { held: Held; text: Ref }[]
  failures: { held: Held; says: string }[]
  passes: { rule: string; because: Ref; photo: string }[]
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
}

const isOf =
  <K extends Entry['kind']>(kind: K) =>
  (held: Held): held is Held & { entry: Of<K> } =>
    held.entry.kind === kind

const sealOf = (state: JobState, index: number): SealState => {
  if (state.steps[index] === 'done') return 'holds'
  if (state.steps[index] === 'waived') return 'passed'
  return state.lost[index] ? 'broken' : 'todo'
}

function readingsOf(held: readonly Held[], step: Step): ReadingRecord[] {
  const corrections = held.filter(isOf('reading.corrected'))
  return held.filter(isOf('reading.taken')).flatMap((each) => {
    const { body } = each.entry
    if (body.step !== step.id) return []
    const proof = step.proof.find(({ name }) => name === body.name)
    const corrected = corrections.filter(({ entry }) => entry.body.of === each.entry.id).at(-1)
    const value = corrected?.entry.body.value ?? body.value
    return {
      held: each,
      label: proof?.label ?? body.name,
      value,
      unit: body.unit,
      says: proof?.options?.find(({ id }) => id === value)?.says ?? null,
      was: corrected ? body.value : null,
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
      answers: answers
        .filter(({ entry }) => entry.body.question === each.entry.id)
        .map((answer) => ({ held: answer, words: answer.entry.body.words ?? null, photo: photoBlob(held, answer.entry.body.photo) })),
      settled: !open.has(each.entry.id),
    }
  })
}

export function photoBlob(held: readonly Held[], entry: string | undefined): string | null {
  const found = held.filter(isOf('photo.taken')).find((each) => each.entry.id === entry)
  return found?.entry.body.blob ?? null
}

function stepRecord(held: readonly Held[], state: JobState, bundle: Bundle, index: number): StepRecord {
  const step = bundle.steps[index]!
  const mine = held.filter(({ entry }) => 'step' in entry.body && entry.body.step === step.id)
  const doneBy = held.find(({ entry }) => entry.id === state.doneBy[index]?.at(-1)) ?? null
  const labelOf = (name: string) => step.proof.find((proof) => proof.name === name)?.label ?? name
  const notes = mine.filter(isOf('note.added'))
  const isSignature = (name: string | undefined) => step.proof.some((proof) => proof.kind === 'signature' && proof.name === name)
  return {
    index,
    step,
    seal: sealOf(state, index),
    doneAt: state.steps[index] === 'todo' ? null : (doneBy?.entry.at ?? null),
    doneBy,
    readings: readingsOf(held, step),
    photos: mine.filter(isOf('photo.taken')).map((each) => ({ held: each, label: labelOf(each.entry.body.name), body: each.entry.body })),
    parts: mine.filter(isOf('part.fitted')).map((each) => ({ held: each, body: each.entry.body })),
    signatures: notes.filter(({ entry }) => isSignature(entry.body.name)).map((each) => ({ held: each, label: labelOf(each.entry.body.name ?? ''), text: each.entry.body.text })),
    notes: notes.filter(({ entry }) => !isSignature(entry.body.name)).map((each) => ({ held: each, text: each.entry.body.text })),
    failures: mine.filter(isOf('step.failed')).map((each) => ({ held: each, says: step.fails.find(({ id }) => id === each.entry.body.failure)?.says ?? each.entry.body.failure })),
    passes: mine.filter(isOf('step.done')).flatMap(({ entry }) => (entry.body.passed ?? []).map((passed) => ({ ...passed, photo: photoBlob(held, passed.photo) ?? '' }))),
    questions: questionsOf(held, new Set(state.questions.map(({ entry }) => entry)), step),
  }
}

/** Undo steps are shown only where something was written in them. */
const wasTouched = ({ doneBy, readings, photos, failures, notes, questions }: StepRecord): boolean =>
  doneBy !== null || [readings, photos, failures, notes, questions].some((each) => each.length > 0)

export function jobRecord(row: JobRow, bundle: Bundle, held: readonly Held[]): JobRecord {
  const machine = machineOf(bundle)
  const state = fold(machine, logEntries(held))
  const steps = bundle.steps.map((_, index) => stepRecord(held, state, bundle, index))
  const shown = steps.filter((each) => !each.step.undo || wasTouched(each))
  const closed = held.filter(isOf('job.closed')).find(({ entry }) => entry.id === state.closed?.entry)
  return {
    row,
    bundle,
    machine,
    state,
    held,
    steps,
    phases: bundle.phases.map(({ id, name }) => ({ name, steps: shown.filter(({ step }) => step.phase === id) })).filter((phase) => phase.steps.length > 0),
    closed: closed?.entry ?? null,
  }
}

/** The steps of the rule, in listed order. */
export const listed = (record: JobRecord): StepRecord[] => record.steps.filter(({ step }) => !step.undo)
