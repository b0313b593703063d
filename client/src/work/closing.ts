/** The ends of a job, and what is missing for each. */
import { mayEnd, type Missing } from '../procedure/state'
import { agreedSince } from './agreed-since'
import { agreedOpen, foundIn } from './found'
import { placeWords, stateWords } from './found-words'
import { conditionWords, numberOr, type JobNow } from './job'
import { lower } from './letters'
import { unsettled } from './recalls'
import { toolLabel } from './step-tools'
import { foundWords } from './stops'
import * as says from '../words/en/work/closing'
import { t } from '../words/message'

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
      return {
        words: `${step.step.number} ${step.step.title}`.trim(),
        short: t(says.isToDo, { step: numberOr(step) }),
      }
    }
    case 'tool':
      return {
        words: t(says.toolStillIn, { toolLabel: toolLabel(now, gap.slot) }),
        short: t(says.isOut, { toolLabel: toolLabel(now, gap.slot) }),
      }
    case 'question': {
      const step = gap.step === null ? null : now.steps[gap.step]
      return {
        words: t(says.ownerAsksAbout, { step: step ? numberOr(step) : t(says.step) }),
        short: t(says.ownerAsks),
      }
    }
    case 'several':
      return {
        words: t(says.notSure, { condition: lower(condition(gap.condition, gap.possible)) }),
        short: t(says.lookFirst),
      }
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
    words: t(says.lotIsRecalled, { lot: found.recall.lot, found: lower(foundWords(now, found)) }),
    short: t(says.recalledInside),
  }))
}

/** What the customer said yes to and nothing has settled, likewise. */
function agreedInTheWay({ held, bundle }: JobNow): EndNow['missing'] {
  return agreedOpen(foundIn(held, bundle)).map((found) => ({
    words: t(says.findingOpen, { place: placeWords(found), state: stateWords(found) }),
    short: t(says.agreedToDo),
  }))
}

/** What the customer said yes to after they signed for the vehicle: the signature does not cover it. */
function unsignedInTheWay(now: JobNow): EndNow['missing'] {
  return (agreedSince(now)?.found ?? []).map((found) => ({
    words: t(says.agreedSince, { place: placeWords(found) }),
    short: t(says.signedBefore),
  }))
}

export function endsOf(now: JobNow): EndNow[] {
  const gates = [...recallsInTheWay(now), ...agreedInTheWay(now), ...unsignedInTheWay(now)]
  const isFinish = (id: string) => now.machine.ends.some((end) => end.id === id && end.all_must)
  return now.bundle.ends.map(({ id, name, because }) => {
    const missing = mayEnd(now.machine, now.state, id).map((gap) => missingWords(now, gap))
    return { id, name, because, missing: [...missing, ...(isFinish(id) ? gates : [])] }
  })
}
