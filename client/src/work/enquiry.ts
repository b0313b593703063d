/**
 * A call: what is typed and chosen while somebody is on the telephone, what that makes of it, and what is kept. Pure.
 * Bay and desk ask the same; no answer is needed to keep a call but that somebody called.
 */
import type { Body } from '../ledger/bodies'
import type { Entry, EntryOf } from '../ledger/entry'
import type { Bundle } from '../procedure/bundle'
import type { Held } from '../store'
import { judgeBelt, warning, type Fitted, type Verdict } from '../trade/belt-due'
import { doubt, type Interval, type Reading } from '../trade/interval'
import {
  ADVICE_WORDS,
  NOTICED_WORDS,
  REASON_WORDS,
  TOLD_WORDS,
  triage,
  type Said,
  type Triage,
} from '../trade/triage'
import { asDialled, dialUnit, dialWords } from './dial-unit'
import { dayWords } from './format'
import { odometer } from './odometer'
import * as words from '../words/en/work/enquiry'
import { t, wordsOf } from '../words/message'

export interface EnquiryDraft {
  said: Said
  noticed: string[]
  plate: string
  customer: string
  phone: string
  vin: string
  code: string
  odometer: string
  inMiles: boolean
  /** As typed: `2020`, `5.2020` or `1.5.2020`. */
  fittedOn: string
  fittedKm: string
  /** The maker's interval, where no procedure says it. */
  everyKm: string
  everyMonths: string
  /** The part of the interval that is left in hard use, in percent. */
  severe: 100 | 75 | 50
  words: string
  /** Codes of what was asked back, and is so. */
  confirmed: string[]
}

export const NO_ENQUIRY: EnquiryDraft = {
  said: {},
  noticed: [],
  plate: '',
  customer: '',
  phone: '',
  vin: '',
  code: '',
  odometer: '',
  inMiles: false,
  fittedOn: '',
  fittedKm: '',
  everyKm: '',
  everyMonths: '',
  severe: 100,
  words: '',
  confirmed: [],
}

/** A call as it is typed anew: what was said stands already. */
export function draftOfCall(
  body: Body<'enquiry.taken'>,
  values: Pick<EnquiryDraft, 'plate' | 'customer' | 'phone' | 'vin' | 'words'>,
): EnquiryDraft {
  const text = (value: string | number | undefined) => (value === undefined ? '' : String(value))
  const { severe_percent: severe } = body
  return {
    ...values,
    said: Object.fromEntries((body.triage ?? []).map(({ ask, said }) => [ask, said])) as Said,
    noticed: body.noticed ?? [],
    code: text(body.engine_code),
    ...asDialled(body.odometer_km, body.odometer_unit),
    fittedOn: text(body.fitted_on),
    fittedKm: text(body.fitted_km),
    everyKm: text(body.interval_km),
    everyMonths: text(body.interval_months),
    severe: severe === 75 || severe === 50 ? severe : 100,
    confirmed: body.confirmed ?? [],
  }
}

/** Before anything was asked nobody is advised: what is not known would count as the worst. */
export const isAsked = ({ said, noticed }: EnquiryDraft): boolean =>
  Object.keys(said).length > 0 || noticed.length > 0

export const adviceOf = ({ said, noticed }: EnquiryDraft): Triage => triage(said, noticed)

/** A plate as it is compared, of whatever country: letters and figures alone. */
export const plateKey = (plate: string): string =>
  plate
    .normalize('NFKC')
    .replace(/[^\p{L}\p{N}]/gu, '')
    .toUpperCase()

/** A figure of kilometres as it is typed; null for none that can be read. */
export function kmOf(typed: string, inMiles = false): number | null {
  const read = odometer(typed, inMiles)
  return 'km' in read ? read.km : null
}

/** The day of `1.5.2020`, `5.2020` or `2020`: the first that it may be, which is the safe side; null for no day at all. */
export function fittedDay(typed: string): string | null {
  const parts = typed.trim().split(/[\s./-]+/)
  if (parts.length > 3 || parts.some((part) => !/^\d{1,4}$/.test(part))) return null
  const inOrder = parts[0]!.length === 4 ? parts : parts.reverse()
  const [year, month = '1', day = '1'] = inOrder
  if (year!.length !== 4) return null
  const iso = `${year}-${month.padStart(2, '0')}-${day.padStart(2, '0')}`
  const at = new Date(`${iso}T00:00:00Z`)
  return !Number.isNaN(at.getTime()) && at.toISOString().startsWith(iso) ? iso : null
}

/** Why what was typed cannot be kept as it stands; null: it can, or nothing was typed. */
export function fittedFault({ fittedOn, fittedKm, odometer: now, inMiles }: EnquiryDraft, today: string) {
  const day = fittedDay(fittedOn)
  if (fittedOn.trim() !== '' && day === null) return t(words.noDay)
  if (day !== null && day > today) return t(words.dayToCome)
  if (fittedKm.trim() === '') return null
  const km = kmOf(fittedKm, inMiles)
  if (km === null) return t(words.noKm)
  const read = kmOf(now, inMiles)
  return read !== null && km > read ? t(words.fittedAfter, { km, read }) : null
}

/** What the makers of these procedures ask for, of those that the engine's code fits. */
export const intervalOf = (bundle: Pick<Bundle, 'interval'> | null): Interval | null =>
  bundle?.interval ?? null

function intervalIn(draft: EnquiryDraft, ofBundle: Interval | null): Interval | null {
  const [km, months] = [kmOf(draft.everyKm), kmOf(draft.everyMonths)]
  const typed = { ...(km ? { km } : {}), ...(months ? { months } : {}) }
  const interval = ofBundle ?? (km || months ? typed : null)
  return interval && { ...interval, severe: draft.severe / 100 }
}

const fittedIn = (draft: EnquiryDraft): Fitted => {
  const [on, km] = [fittedDay(draft.fittedOn), kmOf(draft.fittedKm, draft.inMiles)]
  return { ...(on === null ? {} : { on }), ...(km === null ? {} : { km }) }
}

/** What is known here of the vehicle with this plate. */
export interface KnownVehicle {
  /** What its odometer read in former jobs and calls. */
  readings: readonly Reading[]
  /** Who was named as its customer. */
  customers: readonly string[]
}

export function dueOf(
  draft: EnquiryDraft,
  ofBundle: Interval | null,
  known: KnownVehicle,
  today: string,
): Verdict {
  const km = kmOf(draft.odometer, draft.inMiles)
  const readings = [...known.readings, ...(km === null ? [] : [{ on: today, km }])]
  return judgeBelt(fittedIn(draft), intervalIn(draft, ofBundle), readings, today)
}

export const warningOf = (draft: EnquiryDraft, verdict: Verdict): string | null =>
  warning(verdict, draft.plate.trim())

/** Something that does not fit what is known: it is asked back once, and kept as it was said to be. */
export interface AskedBack {
  code: string
  says: string
}

export const newest = (readings: readonly Reading[]): Reading | null =>
  readings.reduce<Reading | null>((best, each) => (best && best.on >= each.on ? best : each), null)

/** The odometer, against what it read last; null: it fits, or nothing is known. */
export function odometerDoubt(km: number | null, before: Reading | null, today: string): AskedBack | null {
  return km === null || before === null ? null : doubt(before, { on: today, km })
}

const nameKey = (name: string) => name.normalize('NFKC').trim().toLowerCase()

/** What is to be asked back of a call before it is kept. */
export function askedBack(draft: EnquiryDraft, known: KnownVehicle, today: string): AskedBack[] {
  const km = kmOf(draft.odometer, draft.inMiles)
  const odd = odometerDoubt(km, newest(known.readings), today)
  const [last] = known.customers.slice(-1)
  const isOther =
    last !== undefined &&
    draft.customer.trim() !== '' &&
    !known.customers.some((name) => nameKey(name) === nameKey(draft.customer))
  return [
    ...(odd ? [odd] : []),
    ...(isOther ? [{ code: 'other_customer', says: t(words.otherCustomer, { last }) }] : []),
  ].filter(({ code }) => !draft.confirmed.includes(nameOf(code)))
}

/** A code as an entry may name it. */
export const nameOf = (code: string): string => code.replaceAll('-', '_')

type Clear = Omit<Body<'enquiry.taken'>, 'customer' | 'phone' | 'plate' | 'vin' | 'words' | 'warning'>

/** What of a call is kept in clear: nothing about a person. */
export function clearOf(draft: EnquiryDraft, ofBundle: Interval | null, verdict: Verdict): Clear {
  const interval = intervalIn(draft, ofBundle)
  const fitted = fittedIn(draft)
  const advice = adviceOf(draft)
  const km = kmOf(draft.odometer, draft.inMiles)
  const { limit } = verdict
  return {
    ...(draft.code === '' ? {} : { engine_code: draft.code }),
    ...(km === null ? {} : { odometer_km: km }),
    ...(km === null || !draft.inMiles ? {} : { odometer_unit: 'mi' as const }),
    ...(draft.noticed.length ? { noticed: draft.noticed } : {}),
    ...(fitted.on === undefined ? {} : { fitted_on: fitted.on }),
    ...(fitted.km === undefined ? {} : { fitted_km: fitted.km }),
    ...(interval?.km === undefined ? {} : { interval_km: interval.km }),
    ...(interval?.months === undefined ? {} : { interval_months: interval.months }),
    ...(draft.severe === 100 ? {} : { severe_percent: draft.severe }),
    due: verdict.code,
    ...(limit.on === null ? {} : { due_on: limit.on }),
    ...(limit.km === null ? {} : { due_km: limit.km }),
    ...(isAsked(draft)
      ? {
          triage: Object.entries(draft.said).map(([ask, said]) => ({ ask, said: said! })),
          advice: advice.advice,
          because: advice.because,
          told: advice.told,
        }
      : {}),
    ...(draft.confirmed.length ? { confirmed: draft.confirmed } : {}),
  }
}

/** The call that holds in a job, the last one, and when it was declined; null where nobody called. */
export function callIn(
  held: readonly Pick<Held, 'entry'>[],
): { entry: EntryOf<'enquiry.taken'>; declined: string | null } | null {
  const isCall = (entry: Entry): entry is EntryOf<'enquiry.taken'> => entry.kind === 'enquiry.taken'
  const all = held.map(({ entry }) => entry)
  const entry = all.filter(isCall).at(-1)
  const declined = all.filter(({ kind }) => kind === 'enquiry.declined').at(-1)?.at ?? null
  return entry ? { entry, declined } : null
}

/** The words of each verdict, as a list says it. */
const DUE_WORDS = wordsOf(words.dues)

/** Where a call stands, in one line: 'Have it recovered. Belt overdue.' A word of a newer app stands as it is. */
export function enquiryWords(
  { advice = '', due = '' }: Body<'enquiry.taken'>,
  declined: string | null,
): string {
  if (declined !== null) return t(words.declined)
  const said = [inWords(ADVICE_WORDS, advice), inWords(DUE_WORDS, due)]
  return said
    .filter((one) => one !== '')
    .map((one) => `${one}.`)
    .join(' ')
}

/** What a quote is made of, out of a procedure; no prices. */
export interface QuoteList {
  procedure: string
  kit: { label: string; count: number }[]
  singleUse: { label: string; count: number }[]
  /** Litres of coolant that are filled; null where the procedure fills none. */
  litres: string | null
}

export function quoteOf({ id, kit, steps }: Pick<Bundle, 'id' | 'kit' | 'steps'>): QuoteList {
  const filled = steps
    .flatMap(({ proof }) => proof)
    .filter(({ kind, unit }) => kind === 'reading' && unit === 'L')
    .at(-1)
  const line = ({ label, count }: (typeof kit)[number]) => ({ label, count })
  return {
    procedure: id,
    kit: kit.filter(({ single_use }) => !single_use).map(line),
    singleUse: kit.filter(({ single_use }) => single_use).map(line),
    litres: filled?.target ?? filled?.high ?? null,
  }
}

/** What a call says, in words: what a newer app wrote stands as it is. */
export interface SaidInCall {
  advice: string | null
  because: string[]
  told: string[]
  noticed: string[]
  due: string | null
}

const inWords = (of: Readonly<Record<string, string>>, code: string): string => of[code] ?? code

export function saidOf(body: Body<'enquiry.taken'>): SaidInCall {
  const all = (codes: readonly string[] | undefined, of: Readonly<Record<string, string>>) =>
    (codes ?? []).map((code) => inWords(of, code))
  return {
    advice: body.advice === undefined ? null : inWords(ADVICE_WORDS, body.advice),
    because: all(body.because, REASON_WORDS),
    told: all(body.told, TOLD_WORDS),
    noticed: all(body.noticed, NOTICED_WORDS),
    due: body.due === undefined ? null : inWords(DUE_WORDS, body.due),
  }
}

/** What of a call is no person's, by name. */
export function factsOf(body: Body<'enquiry.taken'>): [string, string][] {
  const { engine_code, odometer_km, fitted_on, fitted_km, due_on, due_km, severe_percent } = body
  const distance = (km: number | undefined) =>
    km === undefined ? undefined : dialWords(km, dialUnit(body.odometer_unit))
  const rows: [string, string | undefined][] = [
    [t(words.noticed), saidOf(body).noticed.join(', ') || undefined],
    [t(words.engine), engine_code],
    [t(words.odometer), distance(odometer_km)],
    [t(words.fittedOn), fitted_on && dayWords(fitted_on)],
    [t(words.fittedAt), distance(fitted_km)],
    [t(words.hardUse), severe_percent === undefined ? undefined : t(words.percent, { n: severe_percent })],
    [t(words.dueOn), due_on && dayWords(due_on)],
    [t(words.dueAt), distance(due_km)],
  ]
  return rows.filter((row): row is [string, string] => row[1] !== undefined)
}
