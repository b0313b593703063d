/** How one proof of a step is kept, and what comes after it. */
import { capital } from '../../work/letters'
import type { ProofNow } from '../../work/proofs'
import { besideTorque, nextAfter, paintsWith, toHang } from '../../work/step-tools'
import { type Given, giveProofs } from '../../work/write'
import * as words from '../../words/en/bay/giving'
import { t } from '../../words/message'
import type { Deed } from '../../parts/deed'
import type { Tidy } from './act'
import type { InStep } from './in-job'

export interface Giving {
  /** What is given beside a torque. */
  also: ProofNow | null
  /** Whether it is the last that the step asks for, so that its hold seals the step. */
  paints: boolean
  /** @param said of what is given beside it */
  keep: (given: Given, said?: string) => Deed
}

const allGiven = (given: Given, wanted: ProofNow, also: ProofNow | null, said = ''): [ProofNow, Given][] => [
  [wanted, given],
  ...(also ? ([[also, { kind: 'figure', value: said }]] as [ProofNow, Given][]) : []),
]

/** What was chosen is to be followed up: its procedure says so. */
const isFinding = ({ proof: { options } }: ProofNow, given: Given): boolean =>
  given.kind === 'figure' && options?.find(({ id }) => id === given.value)?.finding === true

/** @param tidy is done after it is kept and before what follows, seen by nobody */
export function giving(inStep: InStep, wanted: ProofNow, ...tidy: Tidy[]): Giving {
  const { now, asked, act, store, job, passing, to, toStep, onward } = inStep
  const also = besideTorque(asked, wanted)
  const gives = also ? [wanted, also] : [wanted]
  const paints = !passing && paintsWith(now, asked, gives)
  // What the step asks next comes at once: its words were read when it was opened, and stand behind the back key.
  const next = nextAfter(asked, gives)
  const goOn = () =>
    next ? toStep('give', next.proof.name) : toHang(now, asked.step).length > 0 ? toStep('tools') : toStep()
  const keep = (given: Given, said?: string) =>
    act.deed(
      (ahead) => giveProofs(store, job, asked, allGiven(given, wanted, also, said), paints, ahead),
      paints
        ? t(words.holds, { number: asked.step.number })
        : t(words.kept, { label: capital(wanted.proof.label) }),
      isFinding(wanted, given) ? () => to('found', 'offer', asked.step.id) : paints ? onward : goOn,
      ...tidy,
    )
  return { also, paints, keep }
}
