/**
 * What the workshop has stated, folded in ledger order: tools and their checks, people and their
 * devices, procedures. A statement by a device that may not make it says nothing. Pure; days are ISO dates.
 */
import type { Body, Ref, Role } from '../ledger/bodies'
import type { Held } from '../store'
import { distrustedBy } from '../trade/as-found'
import { counting } from './counting'
import { dayWords } from './format'
import { toolKey } from './spelling'
import { checksOf } from './tool-checks'
import { wrenches } from './wrenches'
import * as words from '../words/en/work/statements'
import { t } from '../words/message'

export interface ToolRow {
  tool: string
  type: string
  label: string
  range: string
  /** Days of the last check and when the next is due; null when none was ever stated. */
  on: string | null
  due: string | null
  certificate: string | null
  accuracy: string | null
  /** What was said of it last, at its registering or in a correction. */
  registered: Pick<Body<'tool.registered'>, 'low' | 'high' | 'unit'>
  /** Why it must not be used any more; null while it may. */
  retired: string | null
  /** Days until the check is due, below 0 when it is past; null when there was none. */
  left: number | null
  checks: Body<'tool.calibrated'>[]
  /** How it was found at checks, before anybody adjusted it, in the order in which they were stated. */
  found: FoundAt[]
  /** The check that found it out, while no good one has followed. */
  distrusted: FoundAt | null
}

/** A `tool.checked`, and its entry. */
export interface FoundAt {
  entry: string
  body: Body<'tool.checked'>
}

const DAY_MS = 86_400_000

const daysBetween = (from: string, to: string): number =>
  Math.round((Date.parse(`${to}T00:00:00Z`) - Date.parse(`${from}T00:00:00Z`)) / DAY_MS)

/** All registered tools, those that were found out and those whose check is missing or due soonest first, and those that are retired last. */
export function toolsOf(statements: readonly Held[], today: string): ToolRow[] {
  const entries = counting(statements).map(({ entry }) => entry)
  const types = new Map<string, string>()
  const checks = new Map<string, Body<'tool.calibrated'>[]>()
  const found = new Map<string, FoundAt[]>()
  const judged = checksOf(entries)
  for (const entry of entries) {
    if (entry.kind === 'tool.registered') types.set(toolKey(entry.body.tool), entry.body.type)
    if (entry.kind === 'tool.corrected' && types.has(toolKey(entry.body.tool)))
      types.set(toolKey(entry.body.tool), entry.body.type)
    if (entry.kind === 'tool.calibrated')
      checks.set(toolKey(entry.body.tool), [...(checks.get(toolKey(entry.body.tool)) ?? []), entry.body])
    if (entry.kind === 'tool.checked') {
      const key = toolKey(entry.body.tool)
      found.set(key, [...(found.get(key) ?? []), { entry: entry.id, body: entry.body }])
    }
  }
  const rows = [...new Set(types.values())].flatMap((type) =>
    // The bay and the desk must not differ in what they think of a tool.
    wrenches(entries, type, null, today).map(
      ({ tool, label, range, on, due, accuracy, retired, registered }): ToolRow => {
        const made = checks.get(toolKey(tool)) ?? []
        const last = made.filter((each) => each.on === on).at(-1)
        const foundAt = found.get(toolKey(tool)) ?? []
        const bad = distrustedBy(judged[toolKey(tool)] ?? [])
        return {
          tool,
          type,
          label,
          range,
          on,
          due,
          certificate: last?.certificate ?? null,
          accuracy,
          registered,
          retired,
          left: due === null ? null : daysBetween(today, due),
          checks: made,
          found: foundAt,
          distrusted: foundAt.find(({ entry }) => entry === bad?.id) ?? null,
        }
      },
    ),
  )
  return rows.sort(
    (a, b) =>
      Number(a.retired !== null) - Number(b.retired !== null) ||
      Number(b.distrusted !== null) - Number(a.distrusted !== null) ||
      (a.left ?? -Infinity) - (b.left ?? -Infinity) ||
      (a.tool < b.tool ? -1 : 1),
  )
}

/** The row of a tool, however its number is written. */
export const rowOfTool = (rows: readonly ToolRow[], tool: string): ToolRow | null =>
  rows.find((row) => toolKey(row.tool) === toolKey(tool)) ?? null

/** Tools that should go to their check within so many days. */
const SOON_DAYS = 30
export const dueSoon = (rows: readonly ToolRow[]): ToolRow[] =>
  rows.filter(
    ({ left, retired, distrusted }) =>
      retired === null && (distrusted !== null || left === null || left <= SOON_DAYS),
  )

export function dueWords({ left, distrusted }: Pick<ToolRow, 'left' | 'distrusted'>): string {
  if (distrusted !== null) return t(words.foundOut, { on: dayWords(distrusted.body.on) })
  if (left === null) return t(words.neverChecked)
  if (left < 0) return left === -1 ? t(words.dueYesterday) : t(words.dueDaysAgo, { left: -left })
  if (left === 0) return t(words.dueToday)
  return left === 1 ? t(words.dueTomorrow) : t(words.dueInDays, { left })
}

export interface DeviceSeen {
  device: string
  since: string
  role: Role /** Why it was revoked; null while it may write. */
  revoked: string | null /** Nothing more is taken from it. */
  isShut: boolean /** For whom it speaks besides its own person, as was last stated. */
  serves: readonly string[] /** What it is called in the workshop. */
  name: Ref | null
}
export interface PersonRow {
  person: string
  name: Ref | null
  role: Role
  devices: DeviceSeen[] /** Days or times until which invitations stand that nobody has taken. */
  invited: string[]
}

/** People as the roster has them: who was invited as what, and the devices they came in with. */
export function peopleOf(statements: readonly Held[], now: string): PersonRow[] {
  const people = new Map<string, PersonRow>()
  const invitations = new Map<string, { body: Body<'device.invited'>; taken: boolean }>()
  const personOf = (person: string, role: Role): PersonRow => {
    const known = people.get(person) ?? { person, name: null, role, devices: [], invited: [] }
    people.set(person, known)
    return known
  }
  const names = new Map<string, Ref>()
  for (const { entry } of counting(statements)) {
    if (entry.kind === 'person.named') names.set(entry.body.person, entry.body.name)
    if (entry.kind === 'device.invited') {
      invitations.set(entry.id, { body: entry.body, taken: false })
      personOf(entry.body.person, entry.body.role).role = entry.body.role
    }
    if (entry.kind === 'device.enrolled') {
      const invited = invitations.get(entry.body.invitation)
      if (!invited || invited.taken) continue
      invited.taken = true
      personOf(entry.person, invited.body.role).devices.push({
        device: entry.device,
        since: entry.at,
        role: invited.body.role,
        revoked: null,
        isShut: false,
        serves: [],
        name: null,
      })
    }
    if (entry.kind === 'device.revoked') {
      for (const { devices } of people.values())
        for (const device of devices)
          if (device.device === entry.body.device) device.revoked ??= entry.body.because
    }
  }
  for (const { entry } of counting(statements)) {
    if (entry.kind !== 'device.shut' && entry.kind !== 'device.serves' && entry.kind !== 'device.named')
      continue
    for (const { devices } of people.values()) {
      const device = devices.find((each) => each.device === entry.body.device)
      if (device && entry.kind === 'device.shut') device.isShut = true
      if (device && entry.kind === 'device.serves') device.serves = entry.body.persons
      if (device && entry.kind === 'device.named') device.name = entry.body.name
    }
  }
  for (const { body, taken } of invitations.values())
    if (!taken && body.until > now) people.get(body.person)?.invited.push(body.until)
  return [...people.values()].map((each) => ({ ...each, name: names.get(each.person) ?? null }))
}

export interface ProcedureRow {
  bundle: string
  name: string
  edition: number
  engineCodes: string[]
  at: string
  withdrawn: string | null
}

/** Published procedures, by name, the newest edition first. */
export function proceduresOf(statements: readonly Held[]): ProcedureRow[] {
  const rows = new Map<string, ProcedureRow>()
  for (const { entry } of counting(statements)) {
    if (entry.kind === 'bundle.published') {
      const { bundle, name, edition, engine_codes: engineCodes } = entry.body
      rows.set(bundle, { bundle, name, edition, engineCodes, at: entry.at, withdrawn: null })
    }
    const known = entry.kind === 'bundle.withdrawn' ? rows.get(entry.body.bundle) : undefined
    if (known && entry.kind === 'bundle.withdrawn') known.withdrawn = entry.body.because
  }
  return [...rows.values()].sort((a, b) => a.name.localeCompare(b.name) || b.edition - a.edition)
}
