/** What of a job's findings its customer is told: what was found, what was said to it, and what did not hold at first. Pure. */
import { foundIn, type ExtraNow, type FoundNow } from './found'
import { capital } from './letters'
import { withUnit } from './limits'
import { partsIn } from './parts-used'
import type { JobRecord } from './record'
import type { SheetRow } from './sheet'
import * as says from '../words/en/work/hand-over-found'
import { t } from '../words/message'

const STATE: Record<FoundNow['state'], string> = {
  done: t(says.putRight),
  dropped: t(says.asksNothing),
  agreed: t(says.stillToDo),
  refused: t(says.youSaidNo),
  unsure: t(says.notDecided),
  asked: t(says.notDecided),
}
const EXTRA: Record<ExtraNow['state'], string> = {
  done: t(says.extraDone),
  left_out: t(says.extraLeftOut),
  agreed: t(says.extraToDo),
  asked: t(says.extraToDo),
}

function rowsOf(under: string, { offered, state, words, extras }: FoundNow): SheetRow[] {
  return [
    {
      under,
      name: offered === null ? t(says.foundHere) : capital(offered),
      says: STATE[state],
      ...(words ? { value: words } : {}),
    },
    ...extras.map((extra) => ({
      under,
      name: t(says.addedWork),
      says: EXTRA[extra.state],
      value: extra.what,
    })),
  ]
}

function recalledRows(record: JobRecord, under: string): SheetRow[] {
  return partsIn(record).flatMap(({ label, lot, recalled: because }) =>
    because === null
      ? []
      : [{ under, name: t(says.recalledPart), says: t(says.recalledSays, { label, lot, because }) }],
  )
}

/** What was tightened with a tool that was found to be wrong since, and nobody has tightened again or taken over. */
function doubtedRows({ doubted, bundle }: JobRecord, under: string): SheetRow[] {
  return doubted.map(({ found: { step, name, value, unit, actual, tool }, check }) => {
    const known = bundle.steps.find(({ id }) => id === step)
    const label = known?.proof.find((proof) => proof.name === name)?.label ?? name
    return {
      under,
      name: t(says.doubtedTool, { tool }),
      says: t(says.doubtedSays, {
        label,
        on: check.on,
        read: withUnit(value, unit),
        isKnown: actual !== null,
        actual: actual === null ? '' : withUnit(actual.toFixed(1), unit),
      }),
    }
  })
}

/** Nothing is left out because it was put right: who drives the vehicle hears of it. */
function brokenRows({ steps }: JobRecord, under: string): SheetRow[] {
  return steps.flatMap(({ step, seal, failures, passes, gaps }) => [
    ...failures.map(({ says: words }) => ({
      under,
      name: t(says.didNotHold),
      says: t(seal === 'holds' || seal === 'passed' ? says.madeGood : says.standsSo, { says: words }),
    })),
    ...passes.map(({ because }) => ({ under, name: t(says.passedBy), value: because })),
    ...gaps.map(({ because }) => ({
      under,
      name: t(says.notProven, { step: step.title }),
      value: because,
    })),
  ])
}

export function foundRows(record: JobRecord): SheetRow[] {
  const under = t(says.findings)
  const { found, offers } = foundIn(record.held, record.bundle)
  return [
    ...recalledRows(record, under),
    ...doubtedRows(record, under),
    ...found.flatMap((each) => rowsOf(under, each)),
    ...offers.map((each) => ({ under, name: capital(each.says), says: t(says.seenOnly) })),
    ...brokenRows(record, under),
  ]
}
