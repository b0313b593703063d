/** What a job's odometer read before: in a step that asks for it, else when the job was opened. Pure. */
import type { Proof } from '../procedure/bundle'
import type { Held } from '../store'
import type { Reading } from '../trade/interval'
import { type DialUnit, dialUnitOf } from './dial-unit'
import { isoDay } from './format'

/** The name under which a step asks for the odometer, in km. */
const ODOMETER = 'odometer'

/** What an odometer read last, and the entry that says so. */
export interface OdometerBefore extends Reading {
  entry: string
  /** What its dial counts. */
  unit: DialUnit
}

/** What the odometer of a job read last: in a step that asks for it, else when the job was opened. */
function odometerBefore(held: readonly Held[]): OdometerBefore | null {
  const unit = dialUnitOf(held)
  const found = held.flatMap(({ entry: { id, kind, body, at } }): OdometerBefore[] => {
    const on = isoDay(new Date(at))
    if (kind === 'job.opened') return [{ on, km: body.odometer_km, entry: id, unit }]
    const isIt = kind === 'reading.taken' && body.name === ODOMETER && body.unit === 'km'
    return isIt ? [{ on, km: Math.round(Number(body.value)), entry: id, unit }] : []
  })
  return found.at(-1) ?? null
}

/** Null where a proof asks for something else, or nothing was read before. */
export const odometerAsked = ({ name, unit }: Proof, held: readonly Held[]): OdometerBefore | null =>
  name === ODOMETER && unit === 'km' ? odometerBefore(held) : null
