/** What this phone, or this desk, knows of a vehicle from former jobs and calls, by its plate. */
import type { Ref } from '../ledger/bodies'
import type { Store } from '../store'
import { enquiries } from './enquiries'
import { plateKey, type KnownVehicle } from './enquiry'
import { isoDay } from './format'

type Reads = Pick<Store, 'jobs' | 'views' | 'secretValue'>

export const NOTHING_KNOWN: KnownVehicle = { readings: [], customers: [] }

/** Jobs and calls, the oldest first. */
async function visits(store: Reads) {
  const [jobs, calls] = await Promise.all([store.jobs(), enquiries(store)])
  return [
    ...jobs.map(({ openedAt, odometerKm, plate, customer }) => ({
      at: openedAt,
      km: odometerKm,
      plate: plate as Ref | null,
      customer,
    })),
    ...calls.map(({ at, body }) => ({
      at,
      km: body.odometer_km ?? null,
      plate: body.plate ?? null,
      customer: body.customer ?? null,
    })),
  ].sort((a, b) => (a.at < b.at ? -1 : 1))
}

export async function knownVehicle(store: Reads, plate: string): Promise<KnownVehicle> {
  const key = plateKey(plate)
  if (key === '') return NOTHING_KNOWN
  const said = (ref: Ref | null) => (ref ? store.secretValue(ref) : null)
  const readings: { on: string; km: number }[] = []
  const customers: string[] = []
  for (const visit of await visits(store)) {
    if (plateKey((await said(visit.plate)) ?? '') !== key) continue
    if (visit.km !== null) readings.push({ on: isoDay(new Date(visit.at)), km: visit.km })
    const customer = await said(visit.customer)
    if (customer !== null) customers.push(customer)
  }
  return { readings, customers }
}
