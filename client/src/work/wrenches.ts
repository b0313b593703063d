/** Which of the workshop's tools may be used for a reading, and why the others may not: `trade/torque` has the rule. */
import type { Body } from '../ledger/bodies'
import type { Held, Trouble } from '../store'
import { dayWords } from './format'
import type { JobNow, StepNow } from './job'
import { settingNm } from './limits'
import type { ProofNow } from './proofs'
import { toolKey } from './spelling'
import { checksOf, offWords } from './tool-checks'
import { distrustedBy, type Check } from '../trade/as-found'
import { calibrationFits, wrenchFits, type WrenchResult } from '../trade/torque'
import * as words from '../words/en/work/wrenches'
import { t } from '../words/message'

interface Statement {
  id?: string
  kind: string
  body: unknown
}

export interface Wrench {
  tool: string
  label: string
  range: string
  /** ISO dates of the last calibration and when the next is due; null when none was ever stated. */
  on: string | null
  due: string | null
  fit: boolean
  because: string | null
  /** How true it is, as its maker says. */
  accuracy: string | null
  registered: Pick<Body<'tool.registered'>, 'low' | 'high' | 'unit'>
  /** Why it must not be used any more. */
  retired: string | null
}

interface Registered {
  tool: Body<'tool.registered'>
  calibration: Body<'tool.calibrated'> | null
  retired: string | null
  /** The check that found it out, while no good one has followed. */
  foundOut: Check | null
}

/** The workshop's tools, each as last registered or corrected, and with its newest calibration. */
function register(statements: readonly Statement[]): Registered[] {
  const registered = new Map<string, Body<'tool.registered'>>()
  const calibrated = new Map<string, Body<'tool.calibrated'>>()
  const retired = new Map<string, string>()
  for (const { kind, body } of statements) {
    if (kind === 'tool.registered') {
      const next = body as Body<'tool.registered'>
      registered.set(toolKey(next.tool), next)
      retired.delete(toolKey(next.tool))
    }
    if (kind === 'tool.corrected') {
      const { because: _, ...next } = body as Body<'tool.corrected'>
      const known = registered.get(toolKey(next.tool))
      if (known) registered.set(toolKey(next.tool), { ...next, tool: known.tool })
    }
    if (kind === 'tool.retired') {
      const { tool, because } = body as Body<'tool.retired'>
      retired.set(toolKey(tool), because)
    }
    if (kind === 'tool.calibrated') {
      const next = body as Body<'tool.calibrated'>
      const known = calibrated.get(toolKey(next.tool))
      if (!known || known.on <= next.on) calibrated.set(toolKey(next.tool), next)
    }
  }
  const checks = checksOf(statements)
  return [...registered].map(([key, tool]) => ({
    tool,
    calibration: calibrated.get(key) ?? null,
    retired: retired.get(key) ?? null,
    foundOut: distrustedBy(checks[key] ?? []),
  }))
}

type Judged = Pick<WrenchResult, 'fits' | 'message' | 'hint'> & {
  code: WrenchResult['code'] | 'tool-retired' | 'tool-found-out'
}

/** Without a value to set, or a range to set it in, the calibration alone is judged. */
function judged(
  { tool, calibration, retired, foundOut }: Registered,
  value: string | null,
  today: string,
): Judged {
  if (retired !== null)
    return {
      code: 'tool-retired',
      fits: false,
      message: t(words.retired, { because: retired }),
      hint: t(words.retiredHint),
    }
  if (foundOut)
    return {
      code: 'tool-found-out',
      fits: false,
      message: t(words.foundOut, { on: dayWords(foundOut.on), off: offWords(foundOut) }),
      hint: t(words.foundOutHint),
    }
  const known = calibration ? { calibrationDue: calibration.due } : {}
  if (value === null || tool.high === undefined) return calibrationFits(known, today)
  const lowest = tool.low === undefined ? {} : { lowNm: Number(tool.low) }
  return wrenchFits({ highNm: Number(tool.high), ...lowest, ...known }, Number(value), today)
}

/**
 * The tools of one type, fit ones first.
 *
 * @param value What it must be able to set or read; null when that is not known before.
 * @param today ISO date by this phone's clock.
 */
export function wrenches(
  statements: readonly Statement[],
  type: string,
  value: string | null,
  today: string,
): Wrench[] {
  return register(statements)
    .filter(({ tool }) => tool.type === type)
    .map((each) => {
      const { tool, calibration, retired } = each
      const { fits, message } = judged(each, value, today)
      const range =
        tool.low !== undefined && tool.high !== undefined
          ? t(words.to, { low: tool.low, high: tool.high, unit: tool.unit ?? '' }).trim()
          : ''
      return {
        tool: tool.tool,
        label: tool.label,
        range,
        on: calibration?.on ?? null,
        due: calibration?.due ?? null,
        fit: fits,
        because: fits ? null : message,
        accuracy: tool.accuracy ?? null,
        registered: tool,
        retired,
      }
    })
    .sort((a, b) => Number(b.fit) - Number(a.fit) || (a.tool < b.tool ? -1 : 1))
}

export const checkedWords = ({ on }: Wrench): string =>
  on ? t(words.checked, { on: dayWords(on) }) : t(words.neverChecked)
export const goodWords = ({ due }: Wrench): string => (due ? dayWords(due) : t(words.notKnown))

/** What a tag that was read says: no tag yet, the beginning of one, a tool that may measure, or why not. */
export type TagVerdict =
  | { is: 'none' | 'part' }
  | { is: 'fit'; tool: string; says: string }
  | { is: 'refused'; trouble: Trouble }

const refused = (code: string, message: string, hint: string): TagVerdict => ({
  is: 'refused',
  trouble: { code, message, hint },
})

/**
 * Look a tag up among the workshop's tools.
 *
 * @param type What kind of tool is asked for; null takes any.
 */
export function readTag(
  statements: readonly Statement[],
  type: string | null,
  tag: string,
  today: string,
): TagVerdict {
  if (tag === '') return { is: 'none' }
  const tools = register(statements)
  const found = tools.find(({ tool }) => toolKey(tool.tool) === toolKey(tag))
  if (!found) {
    if (tools.some(({ tool }) => toolKey(tool.tool).startsWith(toolKey(tag)))) return { is: 'part' }
    return refused('unknown-tool', t(words.unknownTool, { tag }), t(words.unknownToolHint))
  }
  const { tool } = found
  if (type !== null && tool.type !== type)
    return refused(
      'other-tool',
      t(words.otherTool, { tool: tool.tool, label: tool.label }),
      t(words.otherToolHint),
    )
  const { fits, code, message, hint } = judged(found, null, today)
  return fits
    ? {
        is: 'fit',
        tool: tool.tool,
        says: t(words.goodTo, { label: tool.label, day: dayWords(found.calibration?.due ?? today) }),
      }
    : refused(code, `${tool.tool}: ${message}`, hint)
}

// What a proof asks for.

const entriesOf = (statements: readonly Held[]) =>
  statements.filter(({ standing }) => standing === 'good').map(({ entry }) => entry)

/**
 * @param day YYYY-MM-DD: a check that is over by then counts no more
 * @param set what it is set to, where an adaptor makes that another value than the fastener's
 */
export function wrenchesFor(
  statements: readonly Held[],
  { step }: StepNow,
  { proof }: ProofNow,
  day: string,
  set = settingNm(step, proof),
): Wrench[] {
  return wrenches(entriesOf(statements), proof.tool ?? '', set, day)
}

/** The one that was chosen; else the one used last in this job; else the only one that fits. */
export function wrenchFor(
  { held }: JobNow,
  statements: readonly Held[],
  asked: StepNow,
  wanted: ProofNow,
  day: string,
  chosen: string | null,
): Wrench | null {
  const fit = wrenchesFor(statements, asked, wanted, day).filter((wrench) => wrench.fit)
  const used = held
    .flatMap(({ entry }) =>
      entry.kind === 'reading.taken' && entry.body.tool !== undefined ? [entry.body.tool] : [],
    )
    .reverse()
  const byKey = new Map(fit.map((wrench) => [toolKey(wrench.tool), wrench]))
  const wish = [chosen, ...used].find((tool) => tool !== null && byKey.has(toolKey(tool)))
  return (wish != null && byKey.get(toolKey(wish))) || (fit[0] ?? null)
}

/** What the tag of a tool says, where a proof asks for one. */
export const tagRead = (
  statements: readonly Held[],
  { proof }: ProofNow,
  tag: string,
  day: string,
): TagVerdict => readTag(entriesOf(statements), proof.tool ?? null, tag, day)
