/**
 * Everything the bay writes, one function an act: what is one act of the mechanic is one act of the store,
 * kept whole or not at all. Each resolves when it is on this phone.
 */
import type { Adaptor, Body, Ref, Saw } from '../ledger/bodies'
import { canonical } from '../ledger/canonical'
import type { Picture } from '../instruments/camera'
import type { Way } from '../procedure/bundle'
import type { Ahead, Store, Writing } from '../store'
import type { ProofNow } from './proofs'
import type { StepNow } from './job'

/** What a proof is given as; `measured` comes from an instrument of the phone and carries its sheet and all else that it saw. */
export type Given =
  | {
      kind: 'figure'
      value: string
      tool?: string
      adaptor?: Adaptor
      /** It did not fit what stood: what was asked back, and the answer. `corrects`: the entry that was wrong. */
      doubted?: string
      corrects?: string
    }
  | {
      kind: 'measured'
      value: string
      by: Exclude<Way, 'hand'>
      sheet: object
      clips: readonly Blob[]
      picture?: Picture
    }
  | { kind: 'lot'; part: string; lot: string; serial?: string; code?: string }
  | { kind: 'picture'; picture: Picture }
  | { kind: 'drawn'; path: string }

type Reading = Body<'reading.taken'>

/** Limits are written down with the reading: what the window was then is part of what was read. */
function reading({ proof }: ProofNow, step: string, value: string, tool: string | undefined): Reading {
  const limits =
    proof.kind === 'count' && proof.target !== undefined ? { low: proof.target, high: proof.target } : proof
  return {
    step,
    name: proof.name,
    value,
    unit: proof.unit ?? '',
    ...(limits.low === undefined ? {} : { low: limits.low }),
    ...(limits.high === undefined ? {} : { high: limits.high }),
    ...(tool === undefined ? {} : { tool }),
  }
}

export async function writePhoto(
  writing: Writing,
  step: string,
  name: string,
  { bytes, type, width, height, how, quality }: Picture,
): Promise<string> {
  const blob = await writing.photo(bytes)
  return writing.entry('photo.taken', {
    step,
    name,
    blob,
    size: bytes.size,
    type,
    width,
    height,
    how,
    ...(quality ? { quality } : {}),
  })
}

/** What an instrument measured goes with all that it saw: the sheet first, in the bytes that are hashed. */
async function writeMeasured(
  writing: Writing,
  wanted: ProofNow,
  step: string,
  given: Extract<Given, { kind: 'measured' }>,
): Promise<string> {
  const photo = given.picture && (await writePhoto(writing, step, wanted.proof.name, given.picture))
  const saw: Saw[] = []
  for (const file of [new Blob([canonical(given.sheet)], { type: 'application/json' }), ...given.clips]) {
    saw.push({ blob: await writing.photo(file), size: file.size, type: file.type as Saw['type'] })
  }
  return writing.entry('reading.taken', {
    ...reading(wanted, step, given.value, undefined),
    by: given.by,
    saw,
    ...(photo === undefined ? {} : { photo }),
  })
}

async function writeFigure(
  writing: Writing,
  wanted: ProofNow,
  step: string,
  { value, tool, adaptor, doubted, corrects }: Extract<Given, { kind: 'figure' }>,
): Promise<string> {
  const id = await writing.entry('reading.taken', {
    ...reading(wanted, step, value, tool),
    ...(adaptor ? { adaptor } : {}),
  })
  if (doubted === undefined) return id
  const text = await writing.secret('words', doubted)
  if (corrects === undefined) await writing.entry('note.added', { step, text })
  else await writing.entry('reading.corrected', { of: corrects, value, because: text })
  return id
}

async function writeGiven(writing: Writing, wanted: ProofNow, step: string, given: Given): Promise<string> {
  const { proof } = wanted
  switch (given.kind) {
    case 'figure':
      return writeFigure(writing, wanted, step, given)
    case 'measured':
      return writeMeasured(writing, wanted, step, given)
    case 'lot':
      return writing.entry('part.fitted', {
        step,
        name: proof.name,
        part: given.part,
        lot: given.lot,
        ...(given.serial === undefined ? {} : { serial: given.serial }),
        ...(given.code === undefined ? {} : { code: given.code }),
      })
    case 'drawn':
      return writing.entry('note.added', {
        step,
        name: proof.name,
        text: await writing.secret('signature', given.path),
      })
    case 'picture':
      return writePhoto(writing, step, proof.name, given.picture)
  }
}

const proofIds = (proofs: readonly ProofNow[]) =>
  proofs.flatMap(({ entry }) => (entry === null ? [] : [entry]))

/** A step is begun before its first proof, when it moves the engine: from then on the engine may be half-way. */
async function begin(writing: Writing, asked: StepNow): Promise<void> {
  if (asked.moves && asked.begunAt === null) await writing.entry('step.begun', { step: asked.step.id })
}

/** What a job is opened with. A private value as text, or where a call has it already; '': nobody said it. */
export interface Opening {
  bundle: string
  vin: string | Ref
  plate: string | Ref
  customer: string | Ref
  phone: string | Ref
  odometerKm: number
  /** The dial counts miles. */
  inMiles: boolean
  engineCode: string
  bay: string
  /** What was answered where something did not fit what stands: kept as notes. */
  answers: readonly { name: string; text: string }[]
}

export const openJob = (store: Store, job: string, opened: Opening) =>
  store.write(job, async (writing) => {
    const value = async (field: 'vin' | 'plate' | 'customer' | 'phone') => {
      const said = opened[field]
      return typeof said === 'string' ? writing.secret(field, said) : said
    }
    await writing.entry('job.opened', {
      bundle: opened.bundle,
      vin: await value('vin'),
      plate: await value('plate'),
      odometer_km: opened.odometerKm,
      engine_code: opened.engineCode,
      bay: opened.bay,
      ...(opened.customer === '' ? {} : { customer: await value('customer') }),
      ...(opened.phone === '' ? {} : { phone: await value('phone') }),
      ...(opened.inMiles ? { odometer_unit: 'mi' as const } : {}),
    })
    for (const { name, text } of opened.answers)
      await writing.entry('note.added', { name, text: await writing.secret('words', text) })
  })

/** What a wait is counted from: also of a step that moves nothing. */
export const beginStep = (store: Store, job: string, asked: StepNow) =>
  store.write(job, async (writing) => {
    await writing.entry('step.begun', { step: asked.step.id })
  })

/** Keep what one screen gave; with `paint` the same act also says that the step is done. */
export const giveProofs = (
  store: Store,
  job: string,
  asked: StepNow,
  gives: readonly [wanted: ProofNow, given: Given][],
  paint: boolean,
  ahead?: Ahead,
) =>
  store.write(
    job,
    async (writing) => {
      await begin(writing, asked)
      const ids: string[] = []
      for (const [wanted, given] of gives) ids.push(await writeGiven(writing, wanted, asked.step.id, given))
      if (paint)
        await writing.entry('step.done', { step: asked.step.id, proof: [...proofIds(asked.proofs), ...ids] })
    },
    ahead,
  )

export const paintStep = (store: Store, job: string, asked: StepNow, ahead?: Ahead) =>
  store.write(
    job,
    async (writing) => {
      await writing.entry('step.done', { step: asked.step.id, proof: proofIds(asked.proofs) })
    },
    ahead,
  )

/** An `ask` rule is passed with a reason and a photo; the owner sees it. */
export const passStep = (
  store: Store,
  job: string,
  asked: StepNow,
  rules: readonly string[],
  words: string,
  picture: Picture,
) =>
  store.write(job, async (writing) => {
    const photo = await writePhoto(writing, asked.step.id, 'passed', picture)
    const because = await writing.secret('words', words)
    await writing.entry('step.done', {
      step: asked.step.id,
      proof: proofIds(asked.proofs),
      passed: rules.map((rule) => ({ rule, because, photo })),
    })
  })

/** `putIn`: pins that go into their holes with it and still hang on the board. */
export const failStep = (
  store: Store,
  job: string,
  asked: StepNow,
  failure: string,
  putIn: readonly string[],
) =>
  store.write(job, async (writing) => {
    for (const pin of putIn) await writing.entry('tool.out', { tool: pin })
    await writing.entry('step.failed', { step: asked.step.id, failure, proof: proofIds(asked.proofs) })
  })

export const reopenStep = (store: Store, job: string, step: string, because: string) =>
  store.write(job, async (writing) => {
    await writing.entry('step.reopened', { step, because: await writing.secret('words', because) })
  })

/** `taken`: the pin that was seen in its hole while the board still has it; then it hangs there no more. */
export const seeCondition = (
  store: Store,
  job: string,
  condition: string,
  value: string,
  taken: string | null,
) =>
  store.write(job, async (writing) => {
    if (taken !== null) await writing.entry('tool.out', { tool: taken })
    await writing.entry('condition.seen', { condition, value })
  })

export const addNote = (
  store: Store,
  job: string,
  text: string,
  about: { step?: string; name?: string } = {},
) =>
  store.write(job, async (writing) => {
    await writing.entry('note.added', { ...about, text: await writing.secret('words', text) })
  })

export const takeJob = (store: Store, job: string) =>
  store.write(job, async (writing) => {
    await writing.entry('job.taken', {})
  })

export const moveTool = (
  store: Store,
  job: string,
  slot: string,
  out: boolean,
  id: string | undefined,
  asked: StepNow | null,
  ahead?: Ahead,
) =>
  store.write(
    job,
    async (writing) => {
      if (asked) await begin(writing, asked)
      await writing.entry(out ? 'tool.out' : 'tool.in', { tool: slot, ...(id === undefined ? {} : { id }) })
    },
    ahead,
  )

export const loseTool = (store: Store, job: string, slot: string, because: string) =>
  store.write(job, async (writing) => {
    await writing.entry('tool.lost', { tool: slot, because: await writing.secret('words', because) })
  })

/** The words of an entry that may have none. */
export const wordsIfAny = async (writing: Writing, words: string): Promise<{ words?: Ref }> =>
  words === '' ? {} : { words: await writing.secret('words', words) }

/** In words, with a photo, or with both. */
export const answerQuestion = (
  store: Store,
  job: string,
  question: string,
  step: string,
  words: string,
  picture: Picture | null,
) =>
  store.write(job, async (writing) => {
    const photo = picture && (await writePhoto(writing, step, 'answer', picture))
    await writing.entry('review.answered', {
      question,
      ...(await wordsIfAny(writing, words)),
      ...(photo === null ? {} : { photo }),
    })
  })

export const closeJob = (store: Store, job: string, end: string, because: string) =>
  store.write(job, async (writing) => {
    await writing.entry(
      'job.closed',
      because === '' ? { end } : { end, because: await writing.secret('words', because) },
    )
  })
