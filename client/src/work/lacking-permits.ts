/**
 * What somebody may not do today for want of a permit. Only permits that the workshop has ever stated of anybody are asked
 * for: where it keeps no such register, there is nothing to hold anyone to. A gate of the phone, never of the fold. Pure.
 */
import type { Step } from '../procedure/bundle'
import { permitNote } from '../procedure/machine'
import type { Held } from '../store'
import type { StepNow } from './job'
import { permitsOf, permitsOn, type Permit } from './permits'

export interface Lacking {
  permit: string
  /** The last that the person was given; null: never one. */
  own: Permit | null
  /** Persons who hold one today. */
  holders: string[]
}

/** @param today by the clock of the phone, YYYY-MM-DD */
export function lackingPermit(
  permit: string,
  statements: readonly Held[],
  person: string,
  today: string,
): Lacking | null {
  const all = permitsOf(statements).filter((each) => each.permit === permit)
  const holds = (one: string) => permitsOn(statements, one, today).some((each) => each.permit === permit)
  if (all.length === 0 || holds(person)) return null
  return {
    permit,
    own: all.filter((each) => each.person === person).at(-1) ?? null,
    holders: [...new Set(all.map((each) => each.person))].filter(holds),
  }
}

export const isPassed = (held: readonly Held[], { id }: Step, permit: string, person: string): boolean =>
  held.some(
    ({ entry }) =>
      entry.kind === 'note.added' &&
      entry.person === person &&
      entry.body.step === id &&
      entry.body.name === permitNote(permit),
  )

/** High voltage kills whoever is not trained for it: no reason passes that. */
export const mayBePassed = (permit: string): boolean => permit !== 'high_voltage'

/** The step with the answers that this person may not give: they prove nothing. */
export function withoutAnswers(asked: StepNow, lacks: (permit: string) => boolean): StepNow {
  const barred = (proof: Step['proof'][number]) =>
    proof.options
      ? {
          ...proof,
          options: proof.options.map((each) =>
            each.permit !== undefined && lacks(each.permit) ? { ...each, ok: false } : each,
          ),
        }
      : proof
  return {
    ...asked,
    step: { ...asked.step, proof: asked.step.proof.map(barred) },
    proofs: asked.proofs.map((each) => ({ ...each, proof: barred(each.proof) })),
  }
}
