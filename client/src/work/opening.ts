/** What a job is opened with: carried over from a call, typed, and held against what is known. Pure, but for what it reads of the store. */
import type { Ref } from '../ledger/bodies'
import type { BundleRow, Store } from '../store'
import type { Reading } from '../trade/interval'
import { enquiries, type EnquiryRow } from './enquiries'
import { nameOf, odometerDoubt } from './enquiry'
import { isoDay } from './format'
import { newestByCode } from './offered'
import * as words from '../words/en/work/opening'
import { t } from '../words/message'

/** What is carried over is named again by the same blobs: nothing about a person is kept twice. */
const CARRIED = ['vin', 'plate', 'customer', 'phone', 'words'] as const
export type CarriedField = (typeof CARRIED)[number]

export interface CarriedCall {
  row: EnquiryRow
  values: Record<CarriedField, string>
}

export async function carriedCall(
  store: Pick<Store, 'views' | 'secretValue'>,
  job: string,
): Promise<CarriedCall | null> {
  const row = (await enquiries(store)).find((each) => each.job === job)
  if (!row) return null
  const said = CARRIED.map(async (field) => {
    const ref = row.body[field]
    return [field, (ref && (await store.secretValue(ref))) ?? ''] as const
  })
  return { row, values: Object.fromEntries(await Promise.all(said)) as CarriedCall['values'] }
}

/** The value as the entry names it: by the call's own blob where it is as the call said, else as text that is to be kept. */
export function carriedOr(call: CarriedCall | null, field: CarriedField, value: string): Ref | string {
  const ref = call?.row.body[field]
  return ref && call.values[field] === value ? ref : value
}

/** The offered procedure for an engine's code; null where there is none, or more than one. */
export function procedureFor(bundles: readonly BundleRow[], code: string): BundleRow | null {
  const found = newestByCode(bundles).filter((each) => each.code === code)
  return found.length === 1 ? found[0]!.bundle : null
}

/** Something that is typed and does not fit what stands: it is asked, and the answer's words are kept as a note of that name. */
export interface Doubt {
  name: string
  says: string
  answers: string[]
}

const ODOMETER_ANSWERS = [t(words.readAgain), t(words.formerWasWrong), t(words.otherInstrument)]
const ENGINE_ANSWERS = [t(words.blockSaysSo), t(words.otherEngine)]

/** A doubt about an odometer; one of its answers says that the entry `corrects` was wrong. */
export interface OdometerDoubt extends Doubt {
  correcting: string
  corrects?: string
}

/** Null: the two can both be. */
export function odometerDoubtOf(
  km: number,
  before: (Reading & { entry?: string }) | null,
  today: string,
): OdometerDoubt | null {
  const odd = odometerDoubt(km, before, today)
  return (
    odd && {
      name: nameOf(odd.code),
      says: odd.says,
      answers: ODOMETER_ANSWERS,
      correcting: t(words.formerWasWrong),
      ...(before?.entry === undefined ? {} : { corrects: before.entry }),
    }
  )
}

const callReading = ({ row: { at, body } }: CarriedCall): Reading | null =>
  body.odometer_km === undefined ? null : { on: isoDay(new Date(at)), km: body.odometer_km }

/** @param before what the vehicle's odometer read last, as far as it is known here */
export function doubtsOf(
  typed: { km: number; code: string },
  call: CarriedCall | null,
  before: Reading | null,
  today: string,
): Doubt[] {
  const last = (call && callReading(call)) ?? before
  const odd = odometerDoubtOf(typed.km, last, today)
  const code = call?.row.body.engine_code
  const isOther = code !== undefined && typed.code !== '' && typed.code !== code
  return [
    ...(odd ? [odd] : []),
    ...(isOther
      ? [
          {
            name: 'engine_code_other',
            says: t(words.otherCode, { code: typed.code, said: code }),
            answers: ENGINE_ANSWERS,
          },
        ]
      : []),
  ]
}
