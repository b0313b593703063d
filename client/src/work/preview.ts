/** A step of a procedure as the phone shows it when its turn comes, without a job: for who writes it. Pure. */
import type { Bundle } from '../procedure/bundle'
import { machineOf } from '../procedure/machine'
import type { JobNow, StepNow } from './job'
import type { RuleNow } from './shown'
import { before, valuesOf } from './walked'

export interface Preview {
  now: Pick<JobNow, 'bundle' | 'possible' | 'tags' | 'plan'>
  asked: StepNow
  rule: RuleNow
}

const stepNow = ({ steps, machine }: Bundle, index: number): StepNow => ({
  index,
  step: steps[index]!,
  seal: 'todo',
  open: true,
  moves: machine.steps[index]!.on_the_way.length > 0,
  begunAt: null,
  begunHere: false,
  proofs: steps[index]!.proof.map((proof) => ({ proof, entry: null, said: null })),
  reason: '',
})

export function previewOf(bundle: Bundle, index: number): Preview {
  const machine = machineOf(bundle)
  const following = [...bundle.steps.keys()].slice(index + 1).filter((at) => !bundle.steps[at]!.undo)
  return {
    now: {
      bundle,
      possible: valuesOf(machine, before(machine, index)),
      tags: Object.fromEntries(
        bundle.tools.flatMap(({ slot, tag }) => (tag === undefined ? [] : [[slot, tag]])),
      ),
      plan: following
        .slice(0, 2)
        .map((at) => ({ kind: 'step', step: stepNow(bundle, at), because: '', parts: [] })),
    },
    asked: stepNow(bundle, index),
    rule: ruleOf(bundle, index),
  }
}

function ruleOf({ phases, steps }: Bundle, index: number): RuleNow {
  const straight = [...steps.keys()].filter((at) => !steps[at]!.undo)
  const now = straight.indexOf(index)
  return {
    phases: phases
      .map(({ id }) => straight.filter((at) => steps[at]!.phase === id))
      .filter((phase) => phase.length > 0)
      .map((phase) => phase.map((at) => (at < index || now < 0 ? 'holds' : 'todo'))),
    now: now < 0 ? null : now,
  }
}
