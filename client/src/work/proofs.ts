/** What a step has been given, and whether it still counts. */
import type { Proof, Step } from '../procedure/bundle'
import { KINDS } from '../procedure/evidence'
import { type Fold, foldOn, type LogEntry } from '../procedure/fold'
import type { Held } from '../store'
import { logEntries } from './log'
import { withUnit } from './limits'
import * as words from '../words/en/work/proofs'
import { t } from '../words/message'

export interface ProofNow {
  proof: Proof
  /** The entry that gives it, if it is given and still counts. */
  entry: string | null
  /** What was given, in words. */
  said: string | null
}

function newest(held: readonly Held[], step: Step, proof: Proof): Held | null {
  const fits = ({ entry, standing }: Held) => {
    const body = entry.body as { step?: string; name?: string }
    return (
      standing === 'good' &&
      KINDS[proof.kind].includes(entry.kind) &&
      body.step === step.id &&
      body.name === proof.name
    )
  }
  return held.filter(fits).at(-1) ?? null
}

function saidWords({ entry }: Held, proof: Proof): string {
  switch (entry.kind) {
    case 'reading.taken': {
      const option = proof.options?.find(({ id }) => id === entry.body.value)
      return option?.says ?? withUnit(entry.body.value, entry.body.unit)
    }
    case 'part.fitted':
      return entry.body.lot
    case 'photo.taken':
      return entry.body.how === 'live' ? t(words.photo) : t(words.pickedPhoto)
    default:
      return t(words.signed)
  }
}

/**
 * The proofs of a step that still count. Whether an entry is fresh and inside its limits is the fold's to say:
 * it is asked what it would say of the step if it were done now, and what it misses does not count.
 */
export function proofsNow(folded: Fold, held: readonly Held[], index: number, step: Step): ProofNow[] {
  const { machine, state } = folded
  const given = step.proof
    .filter(({ kind }) => kind !== 'confirm')
    .map((proof) => ({ proof, held: newest(held, step, proof) }))
  const counts = new Set(given.flatMap((each) => (each.held ? [each.proof.name] : [])))
  if (counts.size > 0 && state.steps[index] === 'todo') {
    const id = '~'
    const proof = given.flatMap((each) => (each.held ? [each.held.entry.id] : []))
    const done: LogEntry = {
      id,
      after: state.heads,
      kind: 'step.done',
      body: { step: step.id, proof },
      standing: 'good',
      person: '',
      device: '',
    }
    for (const { entry, name } of foldOn(folded, machine, [...logEntries(held), done]).state.exceptions)
      if (entry === id && name !== undefined) counts.delete(name)
  }
  return given.map(({ proof, held: one }) =>
    one && counts.has(proof.name)
      ? { proof, entry: one.entry.id, said: saidWords(one, proof) }
      : { proof, entry: null, said: null },
  )
}
