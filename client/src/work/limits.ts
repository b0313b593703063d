/** Figures as they are typed and judged. */
import { compare, isDecimal } from '../procedure/decimals'
import * as words from '../words/en/work/limits'
import { t } from '../words/message'

/** What was typed as a decimal of the contract, or null while it is none (`5.`, `-`, nothing). */
export function decimalOf(typed: string): string | null {
  const text = typed
    .trim()
    .replace(',', '.')
    .replace(/^(-?)0+(?=[0-9])/, '$1')
  return isDecimal(text) && !/^-0(\.0+)?$/.test(text) ? text : null
}

export type Verdict = 'inside' | 'below' | 'above'

export function judge(value: string, limits: { low?: string; high?: string }): Verdict {
  if (limits.low !== undefined && compare(value, limits.low) < 0) return 'below'
  if (limits.high !== undefined && compare(value, limits.high) > 0) return 'above'
  return 'inside'
}

/** '41.5 mm', '0.5°' */
export const withUnit = (value: string, unit = ''): string =>
  unit === '' || unit === '°' ? `${value}${unit}` : `${value} ${unit}`

/** Whether a figure below nought can be read: by a limit of its own, or of a winter morning at the roadside. */
export const hasSign = ({ low, high, unit }: { low?: string; high?: string; unit?: string }): boolean =>
  unit === '°C' || [low, high].some((limit) => limit?.startsWith('-'))

/** The window in one breath: '41.2 to 41.8 mm', 'at most 40 °C'. */
export function windowWords({ low, high, unit }: { low?: string; high?: string; unit?: string }): string {
  if (low !== undefined && high !== undefined)
    return low === high ? withUnit(low, unit) : t(words.to, { low, limit: withUnit(high, unit) })
  if (low !== undefined) return t(words.atLeast, { limit: withUnit(low, unit) })
  return high === undefined ? '' : t(words.atMost, { limit: withUnit(high, unit) })
}

export function outsideWords(value: string, limits: { low?: string; high?: string; unit?: string }): string {
  const read = withUnit(value, limits.unit)
  const verdict = judge(value, limits)
  if (verdict === 'below') return t(words.isBelow, { read, low: limits.low ?? '' })
  return verdict === 'above'
    ? t(words.isAbove, { read, high: limits.high ?? '' })
    : t(words.isInTheWindow, { read })
}

interface Torqued {
  torque?: { nm: string }
}
interface Clicked {
  tool?: string
  target?: string
}

/** What a wrench is set to for a proof; null when it is read otherwise. A step may ask for two torques: each proof has its own. */
export const settingNm = ({ torque }: Torqued, { tool, target }: Clicked): string | null =>
  torque && tool === 'torque_wrench' ? (target ?? torque.nm) : null
