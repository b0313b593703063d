/** The checks of the workshop's tools as they were stated: as found, and as they were put right. Pure. */
import type { Body } from '../ledger/bodies'
import { errorOf, isGood, offPercent, shown, worst, type Check } from '../trade/as-found'
import type { ChecksOfTools } from './found-out'
import { toolKey } from './spelling'
import * as words from '../words/en/work/tool-checks'
import { t } from '../words/message'

interface Statement {
  id?: string
  kind: string
  body: unknown
}

/** What a `tool.checked`, or a `tool.calibrated`, says as the rules take it. */
export function checkOf(id: string, body: Body<'tool.checked'> | Body<'tool.calibrated'>): Check {
  const found = 'points' in body ? body : null
  return {
    id,
    on: body.on,
    unit: found?.unit ?? '',
    points: (found?.points ?? []).map(({ nominal, found: delivered, direction }) => ({
      nominal: Number(nominal),
      found: Number(delivered),
      ...(direction === undefined ? {} : { direction }),
    })),
    allowedPercent: Number(found?.allowed_percent ?? 0),
    ...(found?.allowed === undefined ? {} : { allowed: Number(found.allowed) }),
  }
}

/** All checks of each tool, by its key, in the order in which they were stated. */
export function checksOf(statements: readonly Statement[]): ChecksOfTools {
  const checks: Record<string, Check[]> = {}
  for (const { id = '', kind, body } of statements) {
    if (kind !== 'tool.checked' && kind !== 'tool.calibrated') continue
    const said = body as Body<'tool.checked'> | Body<'tool.calibrated'>
    const key = toolKey(said.tool)
    checks[key] = [...(checks[key] ?? []), checkOf(id, said)]
  }
  return checks
}

/** '9 % less than it is set to', '1.5 °C too much': of the point that is off the most. */
export function offWords({ points, allowed, unit }: Pick<Check, 'points' | 'allowed' | 'unit'>): string {
  if (allowed !== undefined) {
    const off = points.map(errorOf).reduce((most, one) => (Math.abs(one) > Math.abs(most) ? one : most))
    return t(words.showed, { off: shown(Math.abs(off)), unit, isLess: off < 0 })
  }
  const usable = points.filter(({ nominal }) => nominal > 0)
  if (usable.length === 0) return t(words.noTorque)
  const off = offPercent(worst(usable))
  return t(words.off, { off: shown(Math.abs(off)), isLess: off < 0 })
}

/** What was found at each point: '20 came out as 18.2, 60 as 54.6 N·m'. */
export const pointsWords = ({ points, unit, allowed }: Body<'tool.checked'>): string =>
  t(words.points, {
    points: points
      .map(({ nominal, found }) => t(words.point, { nominal, found, shows: allowed !== undefined }))
      .join(', '),
    unit,
  })

export const isGoodCheck = (body: Body<'tool.checked'>): boolean => isGood(checkOf('', body))
