/** The ends of a job, and what is missing for each. */
import { mayEnd, type Missing } from '../procedure/state'
import { conditionWords, numberOr, type JobNow } from './job'
import { lower } from './letters'
import { unsettled } from './recalls'
import { toolLabel } from './step-tools'
import { foundWords } from './stops'

export interface EndNow {
  id: string
  name: string
  because: boolean
  missing: { words: string; short: string }[]
}

function missingWords(now: JobNow, gap: Missing): { words: string; short: string } {
  const condition = (index: number, possible: number) =>
    conditionWords(now.bundle, now.machine, index, possible)
  switch (gap.kind) {
    case 'step': {
      const step = now.steps[gap.step]!
      return { words: `${step.step.number} ${step.step.title}`.trim(), short: `${numberOr(step)} is to do` }
    }
    case 'tool':
      return {
        words: `Still in the engine bay: ${toolLabel(now, gap.slot)}`,
        short: `${toolLabel(now, gap.slot)} is out`,
      }
    case 'question': {
      const step = gap.step === null ? null : now.steps[gap.step]
      return { words: `The owner asks about ${step ? numberOr(step) : 'a step'}`, short: 'the owner asks' }
    }
    case 'several':
      return { words: `Not sure: ${lower(condition(gap.condition, gap.possible))}`, short: 'look first' }
    case 'condition':
      return {
        words: `${condition(gap.condition, gap.possible)}.`,
        short: lower(condition(gap.condition, gap.possible)),
      }
  }
}

/** A recalled part keeps a job from the end of all steps: a gate of this phone, not of the record. */
function recallsInTheWay(now: JobNow): EndNow['missing'] {
  return unsettled(now.recalled).map((found) => ({
    words: `Lot ${found.recall.lot} is recalled: ${lower(foundWords(now, found))}`,
    short: 'a recalled part is in it',
  }))
}

export function endsOf(now: JobNow): EndNow[] {
  const isFinish = (id: string) => now.machine.ends.some((end) => end.id === id && end.all_must)
  return now.bundle.ends.map(({ id, name, because }) => {
    const missing = mayEnd(now.machine, now.state, id).map((gap) => missingWords(now, gap))
    return { id, name, because, missing: isFinish(id) ? [...missing, ...recallsInTheWay(now)] : missing }
  })
}
