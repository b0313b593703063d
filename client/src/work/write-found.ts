/** What is written of findings, of the work for them, and of when a job is promised, parked and gone on with. */
import type { Body } from '../ledger/bodies'
import type { Picture } from '../instruments/camera'
import type { Held, Store, Writing } from '../store'
import { type Since, WORD_SINCE } from './agreed-since'
import { extraPartName, type OfferNow } from './found'
import { wordsIfAny, writePhoto } from './write'

/** What a person gives to show something: words, a photo, or both. */
export interface Shown {
  words: string
  picture: Picture | null
}

type Written = { words?: { blob: string }; photo?: string }

async function written(writing: Writing, step: string, name: string, shown: Shown): Promise<Written> {
  const photo = shown.picture && (await writePhoto(writing, step, name, shown.picture))
  return {
    ...(await wordsIfAny(writing, shown.words)),
    ...(photo === null ? {} : { photo }),
  }
}

/** What is typed as an entry may carry it in clear: a part's name, its lot. */
export const inClear = (typed: string): string => [...typed.normalize('NFC').trim()].slice(0, 64).join('')

/** Where something was found, and what of the step offered it. */
export type FoundAt = Pick<Body<'finding.noted'>, 'step' | 'name' | 'value' | 'failure'>

export const noteFinding = (store: Store, job: string, at: FoundAt, shown: Shown) =>
  store.write(job, (writing) => writeFinding(writing, at, shown))

export async function writeFinding(writing: Writing, at: FoundAt, shown: Shown): Promise<void> {
  await writing.entry('finding.noted', { ...at, ...(await written(writing, at.step, 'finding', shown)) })
}

/** A step, and what of its choice or failure offered a finding; null: nothing did. */
export function foundAt(
  held: readonly Pick<Held, 'entry'>[],
  step: string,
  offer: Pick<OfferNow, 'entry'> | null,
): FoundAt {
  const said = offer && held.find(({ entry }) => entry.id === offer.entry)?.entry
  if (said?.kind === 'reading.taken') return { step, name: said.body.name, value: said.body.value }
  return said?.kind === 'step.failed' ? { step, failure: said.body.failure } : { step }
}

/** The customer's word, and the extras that were named with it. */
export interface Word {
  answer: 'yes' | 'no'
  how: string
  extras: readonly string[]
  words: string
  /** A drawn signature; empty for none. */
  signature: string
}

export const answerFinding = (store: Store, job: string, finding: string, word: Word) =>
  store.write(job, (writing) => writeAnswer(writing, finding, word))

export async function writeAnswer(writing: Writing, finding: string, word: Word): Promise<void> {
  const { answer, how, extras, words, signature } = word
  await writing.entry('finding.answered', {
    finding,
    answer,
    how,
    ...(answer === 'yes' && extras.length > 0 ? { extras: [...extras] } : {}),
    ...(await wordsIfAny(writing, words)),
    ...(signature === '' ? {} : { signature: await writing.secret('signature', signature) }),
  })
}

/** The customer's word on what was agreed since they signed for the vehicle: signed once more, or how they took it. */
export const sayOfSince = (
  store: Store,
  job: string,
  { step, name }: Pick<Since, 'step' | 'name'>,
  word: { signature: string } | { words: string },
) =>
  store.write(job, async (writing) => {
    const isSigned = 'signature' in word
    const text = await (isSigned
      ? writing.secret('signature', word.signature)
      : writing.secret('words', word.words))
    await writing.entry('note.added', { step, name: isSigned ? name : WORD_SINCE, text })
  })

export const settleFinding = (
  store: Store,
  job: string,
  finding: string,
  step: string,
  how: string,
  shown: Shown,
) =>
  store.write(job, async (writing) => {
    await writing.entry('finding.settled', {
      finding,
      how,
      ...(await written(writing, step, 'finding', shown)),
    })
  })

export interface ExtraWords {
  what: string
  part: string
  minutes: number | null
}

export async function writeExtra(writing: Writing, finding: string, extra: ExtraWords): Promise<void> {
  await writing.entry('extra.added', {
    finding,
    what: await writing.secret('words', extra.what),
    ...(extra.part === '' ? {} : { part: extra.part }),
    ...(extra.minutes === null ? {} : { minutes: extra.minutes }),
  })
}

export const addExtra = (store: Store, job: string, finding: string, extra: ExtraWords) =>
  store.write(job, (writing) => writeExtra(writing, finding, extra))

export interface DoneExtra {
  finding: string
  step: string
  extra: string
  part: string | null
  /** The lot of its part; empty where it has none. */
  lot: string
  value: string
  unit: string
  shown: Shown
  /** It is the last that was agreed: the finding is settled with it. */
  settles: boolean
}

/** An extra is done; its part goes in as every part does, so that a recall of its lot finds it. */
export const doExtra = (store: Store, job: string, done: DoneExtra) =>
  store.write(job, async (writing) => {
    const { step, extra, part, lot, value, unit } = done
    if (part !== null && lot !== '')
      await writing.entry('part.fitted', { step, name: extraPartName(extra), part, lot })
    await writing.entry('extra.done', {
      extra,
      ...(value === '' ? {} : { value, ...(unit === '' ? {} : { unit }) }),
      ...(await written(writing, step, 'extra', done.shown)),
    })
    if (done.settles) await writing.entry('finding.settled', { finding: done.finding, how: 'done' })
  })

/** Who is to do the job and when it is promised; null for what is not said. */
export interface PlanWords {
  person: string | null
  promised: string | null
}

export async function writePlan(writing: Writing, { person, promised }: PlanWords): Promise<void> {
  await writing.entry('job.planned', {
    ...(person === null ? {} : { person }),
    ...(promised === null ? {} : { promised }),
  })
}

export const planJob = (store: Store, job: string, plan: PlanWords) =>
  store.write(job, (writing) => writePlan(writing, plan))

/** Why a job may rest, in the order in which it is offered; `reasonWords` says each. */
export const PARK_REASONS = ['part', 'customer', 'other'] as const

/** @param part as it was typed: it is said only where a part is why */
export async function writeParked(writing: Writing, why: string, part: string, words: string): Promise<void> {
  const named = why === 'part' ? inClear(part) : ''
  await writing.entry('job.parked', {
    why,
    ...(named === '' ? {} : { part: named }),
    ...(await wordsIfAny(writing, words)),
  })
}

export const parkJob = (store: Store, job: string, why: string, part: string, words: string) =>
  store.write(job, (writing) => writeParked(writing, why, part, words))

export const resumeJob = (store: Store, job: string) =>
  store.write(job, async (writing) => {
    await writing.entry('job.resumed', {})
  })
