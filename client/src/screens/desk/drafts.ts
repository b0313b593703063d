/** What a form asks for, checked before it is signed: facts and what to do, by field. Pure. */
import type { Body } from '../../ledger/bodies'
import { compare, isDecimal } from '../../procedure/decimals'
import { recallOf, type Recall } from '../../work/recalls'
import { toolKey } from '../../work/spelling'
import * as words from '../../words/en/desk/drafts'
import { t } from '../../words/message'

export type Faults<T> = { [K in keyof T]?: string | undefined }
export type Checked<T, B> = { ok: true; body: B } | { ok: false; faults: Faults<T> }

/** What a procedure may ask to measure with; a proof's `tool` names one of these. */
export const TOOL_TYPES = [
  { type: 'torque_wrench', name: t(words.torqueWrench), unit: 'N·m' },
  { type: 'angle_gauge', name: t(words.angleGauge), unit: '°' },
  { type: 'caliper', name: t(words.caliper), unit: 'mm' },
  { type: 'feeler', name: t(words.feelerBlades), unit: 'mm' },
  { type: 'thermometer', name: t(words.thermometer), unit: '°C' },
  { type: 'refractometer', name: t(words.refractometer), unit: '°C' },
  { type: 'pressure_tester', name: t(words.pressureTester), unit: 'bar' },
  { type: 'voltmeter', name: t(words.voltmeter), unit: 'V' },
] as const

export const unitOf = (type: string): string =>
  TOOL_TYPES.find((each) => each.type === type)?.unit ?? TOOL_TYPES[0].unit

export const typeName = (type: string): string =>
  TOOL_TYPES.find((each) => each.type === type)?.name ?? type.replaceAll('_', ' ')

export const tidy = (text: string): string => text.normalize('NFC').trim()

/** A comma for the point, as many keyboards write it; no sign, space or zeros in front that a decimal does not have. */
export const asDecimal = (text: string): string =>
  tidy(text)
    .replace(',', '.')
    .replace(/^\+/, '')
    .replace(/^(-?)0+(?=\d)/, '$1')

export const tooLong = (text: string, most: number): boolean => [...text].length > most

function idFault(id: string, what: string): string | undefined {
  if (id === '') return t(words.idMissing, { what })
  return tooLong(id, 64) ? t(words.idTooLong, { what: [...id].length }) : undefined
}

const found = <T>(faults: Faults<T>): boolean => Object.values(faults).some((fault) => fault !== undefined)

export interface ToolDraft {
  tool: string
  type: string
  label: string
  low: string
  high: string
  unit: string
  /** How true it is, by its maker's word. */
  accuracy: string
}

export function checkTool(
  draft: ToolDraft,
  known: readonly string[],
): Checked<ToolDraft, Body<'tool.registered'>> {
  const [tool, label, unit] = [tidy(draft.tool), tidy(draft.label), tidy(draft.unit)]
  const accuracy = tidy(draft.accuracy)
  const [low, high] = [asDecimal(draft.low), asDecimal(draft.high)]
  const faults: Faults<ToolDraft> = {}
  const doubled = known.find((each) => toolKey(each) === toolKey(tool))
  faults.tool =
    doubled === undefined ? idFault(tool, t(words.toolsNumber)) : t(words.numberTaken, { doubled })
  if (label === '') faults.label = t(words.labelMissing)
  else if (tooLong(label, 200)) faults.label = t(words.over200)
  if (low !== '' && !isDecimal(low)) faults.low = t(words.lowUnfit)
  if (high !== '' && !isDecimal(high)) faults.high = t(words.highUnfit)
  if (isDecimal(low) && isDecimal(high) && compare(low, high) >= 0)
    faults.high = t(words.rangeSwapped, { low })
  if (tooLong(unit, 16)) faults.unit = t(words.unitTooLong)
  if (unit === '' && (low !== '' || high !== '')) faults.unit = t(words.unitMissing)
  if (tooLong(accuracy, 64)) faults.accuracy = t(words.over64)
  if (found(faults)) return { ok: false, faults }
  return {
    ok: true,
    body: {
      tool,
      type: draft.type,
      label,
      ...(low === '' ? {} : { low }),
      ...(high === '' ? {} : { high }),
      ...(unit === '' ? {} : { unit }),
      ...(accuracy === '' ? {} : { accuracy }),
    },
  }
}

/** No certificate says more; a slip of the year does. */
const MOST_YEARS = 5

export interface CheckDraft {
  on: string
  due: string
  certificate: string
}

export const isDay = (text: string): boolean =>
  /^\d{4}-\d{2}-\d{2}$/.test(text) &&
  !Number.isNaN(Date.parse(`${text}T00:00:00Z`)) &&
  new Date(`${text}T00:00:00Z`).toISOString().startsWith(text)

export function checkCheck(
  draft: CheckDraft,
  tool: string,
  today: string,
): Checked<CheckDraft, Body<'tool.calibrated'>> {
  const [on, due, certificate] = [tidy(draft.on), tidy(draft.due), tidy(draft.certificate)]
  const faults: Faults<CheckDraft> = {}
  if (!isDay(on)) faults.on = t(words.checkDayMissing)
  else if (on > today) faults.on = t(words.checkDayAhead)
  if (!isDay(due)) faults.due = t(words.dueMissing)
  else if (isDay(on) && due <= on) faults.due = t(words.dueTooEarly)
  else if (due <= today) faults.due = t(words.dueIsPast)
  else if (isDay(on) && Number(due.slice(0, 4)) - Number(on.slice(0, 4)) > MOST_YEARS)
    faults.due = t(words.dueTooFar, { years: MOST_YEARS })
  if (tooLong(certificate, 200)) faults.certificate = t(words.over200)
  if (found(faults)) return { ok: false, faults }
  return { ok: true, body: { tool, on, due, ...(certificate === '' ? {} : { certificate }) } }
}

export interface RecallDraft {
  lot: string
  because: string
  until: string
}

export function checkRecall(
  draft: RecallDraft,
  recalls: readonly Recall[],
): Checked<RecallDraft, Body<'lot.recalled'>> {
  const [lot, because, until] = [tidy(draft.lot), tidy(draft.because), tidy(draft.until)]
  const faults: Faults<RecallDraft> = {}
  const known = recallOf(recalls, lot)
  faults.lot = known ? t(words.alreadyRecalled, { lot: known.lot }) : idFault(lot, t(words.lotsNumber))
  faults.because = becauseFault(because)
  if (until !== '' && !isDay(until)) faults.until = t(words.untilUnfit)
  if (found(faults)) return { ok: false, faults }
  return { ok: true, body: { lot, because, ...(until === '' ? {} : { until }) } }
}

/** A reason stays in the ledger in clear: 500 characters, no names. */
export function becauseFault(because: string): string | undefined {
  if (because === '') return t(words.whyMissing)
  return tooLong(because, 500) ? t(words.whyTooLong, { what: [...because].length }) : undefined
}
