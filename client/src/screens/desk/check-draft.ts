/** A check of a tool as it is typed: when, how it was found at each point, and until when it is good. Pure. */
import type { Body } from '../../ledger/bodies'
import { isDecimal } from '../../procedure/decimals'
import { isGoodCheck } from '../../work/tool-checks'
import { asDecimal, checkCheck, isDay, tidy, type CheckDraft, type Checked, type Faults } from './drafts'
import * as words from '../../words/en/desk/check-draft'
import { t } from '../../words/message'

/** So many points are typed at most; a certificate has three, in one direction or in both. */
export const SLOTS = [0, 1, 2, 3, 4, 5] as const
type Slot = (typeof SLOTS)[number]

/** `nominal0`, `found0`, `direction0` and so on: what was set, what it delivered. */
type PointFields = { [K in `${'nominal' | 'found' | 'direction'}${Slot}`]: string }
export type FoundDraft = CheckDraft & PointFields & { allowed: string; until: string }

/** What is stated: how it was found, how it was left, or both. */
export interface CheckBodies {
  found: Body<'tool.checked'> | null
  left: Body<'tool.calibrated'> | null
}

interface Tool {
  tool: string
  unit: string
  /** It is read, and off by so much of its unit; else it is set, and off by percent. */
  shows?: boolean
}

/** ISO 6789: checked at 20, 60 and 100 % of the largest value; off by 4 %, up to 10 N·m by 6 % (`trade/as_found.py` names the sources). */
export function startOf(high: string | undefined, shows = false): FoundDraft {
  const most = !shows && high !== undefined && Number(high) > 0 ? Number(high) : null
  const at = (part: number) => (most === null ? '' : String(Number(((most * part) / 100).toFixed(2))))
  const [low, middle, top] = [20, 60, 100].map(at) as [string, string, string]
  const none = { nominal3: '', nominal4: '', nominal5: '' }
  const found = { found0: '', found1: '', found2: '', found3: '', found4: '', found5: '' }
  const way = 'clockwise'
  const turned = { direction0: way, direction1: way, direction2: way }
  const more = { direction3: way, direction4: way, direction5: way }
  const percent = most !== null && most <= 10 ? '6' : '4'
  const allowed = shows ? '' : percent
  return {
    ...{ on: '', due: '', certificate: '', until: '', allowed },
    ...{ nominal0: low, nominal1: middle, nominal2: top, ...none },
    ...found,
    ...turned,
    ...more,
  }
}

type Points = Body<'tool.checked'>['points']

/** A point of which neither or only the usual setting stands there was not checked. */
const typedAt = (draft: FoundDraft): Slot[] => SLOTS.filter((n) => tidy(draft[`found${n}`]) !== '')

/** Of a tool that shows, which is never set: what was there, and what it showed. */
function shownPointsOf(draft: FoundDraft, faults: Faults<FoundDraft>): Points {
  return typedAt(draft).map((n) => {
    const [nominal, found] = [asDecimal(draft[`nominal${n}`]), asDecimal(draft[`found${n}`])]
    if (!isDecimal(nominal)) faults[`nominal${n}`] = t(words.referenceUnfit)
    if (!isDecimal(found)) faults[`found${n}`] = t(words.shownUnfit)
    return { nominal, found }
  })
}

function pointsOf(draft: FoundDraft, faults: Faults<FoundDraft>): Points {
  const points: Points = []
  for (const n of typedAt(draft)) {
    const [nominal, found] = [asDecimal(draft[`nominal${n}`]), asDecimal(draft[`found${n}`])]
    const direction = draft[`direction${n}`] === 'anticlockwise' ? 'anticlockwise' : 'clockwise'
    if (!isDecimal(nominal) || !(Number(nominal) > 0)) faults[`nominal${n}`] = t(words.nominalUnfit)
    else if (points.some((one) => Number(one.nominal) === Number(nominal) && one.direction === direction))
      faults[`nominal${n}`] = t(words.pointTwice)
    if (!isDecimal(found) || Number(found) < 0) faults[`found${n}`] = t(words.foundUnfit)
    else if (!isNear(Number(nominal), Number(found)))
      faults[`found${n}`] = t(words.foundFar, { found, nominal })
    points.push({ nominal, found, direction })
  }
  return points
}

/** A comma that slipped makes it ten times as much; a wrench that holds nothing delivers 0. Chosen, no source. */
const isNear = (nominal: number, found: number) =>
  found === 0 || (found > nominal * 0.2 && found < nominal * 2)

/** What is stated of the points: how far they may be off stands in percent, or in the unit. */
const foundOf = (
  { tool, unit, shows = false }: Tool,
  on: string,
  points: Points,
  allowed: string,
): Body<'tool.checked'> => ({
  ...{ tool, on, unit, points },
  ...(shows ? { allowed_percent: '0', allowed } : { allowed_percent: allowed }),
})

/** What was found as far as it is typed, to say at once what it means; null while nothing can be said. */
export function foundSoFar(draft: FoundDraft, tool: Tool): Body<'tool.checked'> | null {
  const faults: Faults<FoundDraft> = {}
  const points = tool.shows ? shownPointsOf(draft, faults) : pointsOf(draft, faults)
  const allowed = asDecimal(draft.allowed)
  if (points.length === 0 || Object.keys(faults).length > 0 || !isDecimal(allowed)) return null
  return foundOf(tool, draft.on, points, allowed)
}

export function checkFound(draft: FoundDraft, tool: Tool, today: string): Checked<FoundDraft, CheckBodies> {
  const [on, certificate, until] = [tidy(draft.on), tidy(draft.certificate), tidy(draft.until)]
  const allowed = asDecimal(draft.allowed)
  const left = checkCheck(draft, tool.tool, today)
  const faults: Faults<FoundDraft> = left.ok ? {} : { ...left.faults }
  const points = tool.shows ? shownPointsOf(draft, faults) : pointsOf(draft, faults)
  const isFound = points.length > 0
  const found = foundOf(tool, on, points, allowed)
  if (isFound && !(isDecimal(allowed) && Number(allowed) > 0)) faults.allowed = t(words.allowedUnfit)
  const isOut = isFound && faults.allowed === undefined && !isGoodCheck(found)
  // A wrench that was found out and is not put right has no day: nobody may use it.
  const isLeftSo = isOut && tidy(draft.due) === ''
  if (isLeftSo) faults.due = undefined
  if (until !== '' && !isDay(until)) faults.until = t(words.untilUnfit)
  else if (until !== '' && until < on) faults.until = t(words.untilBefore)
  if (Object.values(faults).some((fault) => fault !== undefined)) return { ok: false, faults }
  const more = {
    ...(certificate === '' ? {} : { certificate }),
    ...(isOut && until !== '' ? { until } : {}),
  }
  return {
    ok: true,
    body: { found: isFound ? { ...found, ...more } : null, left: left.ok ? left.body : null },
  }
}
