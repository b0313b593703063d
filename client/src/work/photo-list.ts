/** The photos of a job, each with its step: of a whole job, and one of them by its entry. Pure. */
import type { Held } from '../store'
import type { JobRecord, PhotoRecord, StepRecord } from './record'

export interface PhotoOfStep {
  photo: PhotoRecord
  /** Null where the procedure does not know the step that the photo names. */
  step: StepRecord | null
}

/** All of them: in the order of the steps, ways back after the others, and last what no step asks for. */
export function allPhotos(record: JobRecord): PhotoOfStep[] {
  const steps = [
    ...record.steps.filter(({ step }) => !step.undo),
    ...record.steps.filter(({ step }) => step.undo),
  ]
  const known = steps.flatMap((step) => step.photos.map((photo): PhotoOfStep => ({ photo, step })))
  const ids = new Set(known.map(({ photo }) => photo.held.entry.id))
  return [...known, ...record.held.flatMap((held) => (ids.has(held.entry.id) ? [] : stray(held)))]
}

function stray(held: Held): PhotoOfStep[] {
  const { entry } = held
  if (entry.kind !== 'photo.taken') return []
  return [{ photo: { held, label: entry.body.name, body: entry.body, isEarlier: false }, step: null }]
}

export const photoOfEntry = (record: JobRecord, entry: string): PhotoRecord | null =>
  allPhotos(record).find(({ photo }) => photo.held.entry.id === entry)?.photo ?? null

/** By which a screen opens a photo: the rest is read from the job's own log, and checked. */
export interface PhotoRef {
  job: string
  entry: string
  blob: string
  label: string
}

export const refOf = ({ held, body, label }: PhotoRecord): PhotoRef => ({
  job: held.entry.job ?? '',
  entry: held.entry.id,
  blob: body.blob,
  label,
})

/** What the file of an original is called: by its step and its hash, and by nothing of the customer's. */
export const fileNameOf = (
  { step, name, blob }: { step: string; name: string; blob: string },
  type: string,
) => `${step}-${name}-${blob.slice(0, 12)}.${type.slice(type.indexOf('/') + 1)}`
