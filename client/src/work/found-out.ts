/**
 * What a wrench that was found out tightened in a job, and whether that was within its limits then. Pure.
 * The twin of `server/twoturns/procedure/machine/found_out.py`, which says the rules.
 */
import type { Adaptor } from '../ledger/bodies'
import { has } from '../procedure/bits'
import { isDecimal } from '../procedure/decimals'
import { History, type LogEntry } from '../procedure/log'
import { delivered, foundOut, judged, really, type Check, type FoundVerdict } from '../trade/as-found'
import { wrenchSettingNm } from '../trade/torque'
import { toolKey } from './spelling'

/** A reading with a tool that a check doubts; `actual` null: nobody knows what the fastener got. */
export interface Tightened {
  entry: string
  step: string
  name: string
  tool: string
  check: string
  value: string
  unit: string
  low: string | null
  high: string | null
  setting: number
  actual: number | null
  verdict: FoundVerdict
  beyond: number
  /** The owner wrote since then that it was tightened again, or is taken over as it is. */
  isSettled: boolean
}

/** Somebody has to do something about it. */
export const asks = ({ verdict, isSettled }: Tightened): boolean => verdict !== 'inside' && !isSettled

/** What a `recall.followed` says of it then. */
const SETTLES: unknown[] = ['retightened', 'accepted']

const ORDER = { outside: 0, unknown: 1, inside: 2 } as const

/** All checks of each tool, by its key, in the order in which they were stated. */
export type ChecksOfTools = Readonly<Record<string, readonly Check[]>>

const toolOf = ({ kind, body }: LogEntry): string =>
  kind === 'reading.taken' ? String(body['tool'] ?? '') : ''

/**
 * What tools that were found out tightened in a job, the worst first.
 *
 * @param days of each reading the day on which it was taken, by the entry's id
 */
export function tightened(
  entries: readonly LogEntry[],
  days: Readonly<Record<string, string>>,
  checks: ChecksOfTools,
): Tightened[] {
  const checksOf = (entry: LogEntry) => checks[toolKey(toolOf(entry))] ?? []
  if (!entries.some((entry) => checksOf(entry).length > 0)) return []
  const history = History.of(entries)
  const now = corrected(history)
  return history.entries
    .flatMap((entry, at) => {
      if (entry.kind !== 'reading.taken' || isReplaced(history, at)) return []
      const check = foundOut(checksOf(entry), days[entry.id] ?? '')
      const found = check && judgedOf(entry, now.get(entry.id) ?? String(entry.body['value']), check)
      return found ? { ...found, isSettled: isSettled(history, at, found.check) } : []
    })
    .sort((a, b) => ORDER[a.verdict] - ORDER[b.verdict] || b.beyond - a.beyond)
}

/** What readings were corrected to, by good words, the last one of each. */
const corrected = ({ entries }: History): Map<string, string> =>
  new Map(
    entries
      .filter(({ kind, standing }) => kind === 'reading.corrected' && standing === 'good')
      .map(({ body }) => [String(body['of']), String(body['value'])]),
  )

function isReplaced(history: History, at: number): boolean {
  const said = history.entries[at]!.body
  return history.entries.some(
    ({ kind, standing, body }, later) =>
      kind === 'reading.taken' &&
      standing === 'good' &&
      body['step'] === said['step'] &&
      body['name'] === said['name'] &&
      has(history.past[later]!, at),
  )
}

const isSettled = (history: History, at: number, check: string): boolean =>
  history.entries.some(
    ({ kind, standing, body }, later) =>
      kind === 'recall.followed' &&
      standing === 'good' &&
      body['of'] === check &&
      SETTLES.includes(body['how']) &&
      has(history.past[later]!, at),
  )

/** Null where it is no figure in the unit of the check. */
function judgedOf(entry: LogEntry, value: string, check: Check): Omit<Tightened, 'isSettled'> | null {
  const { body } = entry
  if (body['unit'] !== check.unit || !isDecimal(value)) return null
  if (check.allowed === undefined && !(Number(value) > 0)) return null
  const { setting, actual } = reallyOf(Number(value), body['adaptor'] as Adaptor | undefined, check)
  const low = (body['low'] as string | undefined) ?? null
  const high = (body['high'] as string | undefined) ?? null
  const limit = (text: string | null) => (text === null ? null : Number(text))
  const [step, name, tool, unit] = ['step', 'name', 'tool', 'unit'].map((member) => String(body[member])) as [
    string,
    string,
    string,
    string,
  ]
  return {
    entry: entry.id,
    step,
    name,
    tool,
    check: check.id,
    value,
    unit,
    low,
    high,
    setting,
    actual,
    ...judged(Math.abs(Number(value)) || 1, actual, limit(low), limit(high)),
  }
}

/** What a tool was set to, or showed, and what there really was; null: nobody knows. */
function reallyOf(value: number, through: Adaptor | undefined, check: Check) {
  if (check.allowed !== undefined) return { setting: value, actual: really(check.points, value) }
  const setting = settingOf(value, through)
  const gave = delivered(check.points, setting)
  return { setting, actual: gave === null ? null : value * (gave / setting) }
}

/** What was set on the wrench: with an adaptor another value than the fastener's. */
function settingOf(value: number, through: Adaptor | undefined): number {
  if (!through) return value
  try {
    return wrenchSettingNm(value, through.wrench_mm, through.adaptor_mm, through.angle_deg)
  } catch {
    return value // an adaptor that cannot be: what it was said to do is not taken
  }
}
