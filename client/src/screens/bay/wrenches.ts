/** Which registered tools may be used for a reading, and why the others may not: range and calibration. */
import type { Body } from '../../ledger/bodies'
import { compare } from '../../procedure/decimals'

export interface Statement { kind: string; body: unknown }

export interface Wrench {
  tool: string
  label: string
  range: string
  /** ISO dates of the last calibration and when the next is due; null when none was ever stated. */
  on: string | null
  due: string | null
  fit: boolean
  because: string | null
}

const day = (date: string) => new Date(`${date}T12:00:00Z`).toLocaleDateString('en-GB', { day: 'numeric', month: 'short', year: 'numeric', timeZone: 'UTC' })

function refusal(tool: Body<'tool.registered'>, calibration: Body<'tool.calibrated'> | null, value: string | null, today: string): string | null {
  if (value !== null && tool.low !== undefined && compare(value, tool.low) < 0) return `it begins at ${tool.low} ${tool.unit ?? ''}`.trim()
  if (value !== null && tool.high !== undefined && compare(value, tool.high) > 0) return `it ends at ${tool.high} ${tool.unit ?? ''}`.trim()
  if (!calibration) return 'it was never checked'
  return calibration.due < today ? `its check was due on ${day(calibration.due)}` : null
}

/**
 * The tools of one type, fit ones first.
 *
 * @param value What it must be able to set or read; null when that is not known before.
 * @param today ISO date by this phone's clock.
 */
export function wrenches(statements: readonly Statement[], type: string, value: string | null, today: string): Wrench[] {
  const registered = new Map<string, Body<'tool.registered'>>()
  const calibrated = new Map<string, Body<'tool.calibrated'>>()
  for (const { kind, body } of statements) {
    if (kind === 'tool.registered') registered.set((body as Body<'tool.registered'>).tool, body as Body<'tool.registered'>)
    if (kind === 'tool.calibrated') {
      const next = body as Body<'tool.calibrated'>
      const known = calibrated.get(next.tool)
      if (!known || known.on <= next.on) calibrated.set(next.tool, next)
    }
  }
  return [...registered.values()]
    .filter((tool) => tool.type === type)
    .map((tool) => {
      const calibration = calibrated.get(tool.tool) ?? null
      const because = refusal(tool, calibration, value, today)
      const range = tool.low !== undefined && tool.high !== undefined ? `${tool.low} to ${tool.high} ${tool.unit ?? ''}`.trim() : ''
      return { tool: tool.tool, label: tool.label, range, on: calibration?.on ?? null, due: calibration?.due ?? null, fit: because === null, because }
    })
    .sort((a, b) => Number(b.fit) - Number(a.fit) || (a.tool < b.tool ? -1 : 1))
}

export const checkedWords = ({ on }: Wrench): string => (on ? `checked ${day(on)}` : 'never checked')
export const goodWords = ({ due }: Wrench): string => (due ? day(due) : 'not known')
